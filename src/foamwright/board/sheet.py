"""Reading a board sheet."""

from __future__ import annotations

import math
import os
from collections.abc import Iterable

from foamwright.board.fin_layouts import on_sides, usual_fins
from foamwright.board.numbers import (
    BoardNumbers,
    DeckMark,
    DeckStep,
    Edge,
    FinMark,
    RailMark,
    RailStepMark,
)
from foamwright.board.old_form import refuse_old_form
from foamwright.board.reading_contours import contours_of
from foamwright.board.sections import USUAL_CROWN, USUAL_ROLL, USUAL_TUCK
from foamwright.board.sheet_checks import check_board
from foamwright.board.sheet_tips import beak, tail, thickness_marks, wings
from foamwright.board.sheet_writing import board_sheet
from foamwright.board.tail_words import POINTED
from foamwright.board.written import BoardSheet, FinBoxTable
from foamwright.board.written_sections import RailTable
from foamwright.findings import said
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.fields import StationTable
from foamwright.sheets.locate import Path
from foamwright.sheets.opening import At, OpenSheet
from foamwright.sheets.opening import open_sheet as open_document
from foamwright.sheets.stations import SAME_PLACE
from foamwright.stations import Mark
from foamwright.units import INCH

__all__ = ["board_from_text", "board_sheet", "read_board"]

Opened = OpenSheet[BoardSheet]

FORWARD = INCH
"""Wide point and thickest point lie so far forward of the centre where a sheet does not say. Common
practice, no source."""


def read_board(path: str | os.PathLike[str]) -> BoardNumbers:
    """Return the numbers of the board in a sheet.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def board_from_text(text: str, name: str) -> BoardNumbers:
    """Return the numbers of the board in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def _read(document: Document) -> BoardNumbers:
    refuse_old_form(document)
    sheet = open_document(BoardSheet, document)
    numbers = _numbers(sheet)
    check_board(sheet, numbers)
    sheet.problems.finish()
    return numbers


def _numbers(sheet: Opened) -> BoardNumbers:
    written = sheet.written
    outline, thickness = written.outline, written.thickness
    widths = _widths(sheet)
    wide_at = _at_or_usual(sheet, ("outline", "wide_at"), outline.wide_at)
    return BoardNumbers(
        name=written.name,
        length=written.length,
        outline=widths,
        wide=outline.wide,
        wide_at=wide_at,
        tail=tail(outline),
        rocker=_marks(sheet, "rocker", written.rocker),
        low_at=sheet.station(("rocker", "low_at"), written.rocker.low_at, written.length),
        thickness=thickness_marks(sheet),
        thickest=thickness.thickest,
        thickest_at=_at_or_usual(sheet, ("thickness", "thickest_at"), thickness.thickest_at),
        rails=_rails(sheet),
        deck=_deck(sheet),
        bottom=contours_of(sheet),
        deck_step=_deck_step(sheet),
        rail_step=_rail_step(sheet),
        assumed=_assumed(sheet),
        fins=_fins(sheet, _with_wide_point(widths, outline.wide, wide_at)),
        wings=wings(sheet),
        beak=beak(sheet),
        tail_tip=thickness.tail_tip,
    )


def _marks(sheet: Opened, table: str, written: StationTable) -> tuple[Mark, ...]:
    return sheet.marks((table,), written.stations, sheet.written.length, _keys(written))


def _keys(written: StationTable) -> Iterable[str]:
    return type(written).model_fields


def _widths(sheet: Opened) -> tuple[Mark, ...]:
    marks, written = _marks(sheet, "outline", sheet.written.outline), sheet.written.outline
    pointed = written.tail_form is not None and written.tail_form.kind in POINTED
    return (Mark(0.0, 0.0, "tail"), *marks) if written.tail is None and pointed else marks


def _at_or_usual(sheet: Opened, path: Path, place: str | None) -> float | None:
    """Return where the greatest width or thickness is: as told, else an inch forward of the centre."""
    length = sheet.written.length
    return length / 2.0 + FORWARD if place is None else sheet.station(path, place, length)


def _rails(sheet: Opened) -> tuple[RailMark, ...]:
    rails, length = sheet.written.rails, sheet.written.length
    found = sheet.at_stations(("rails",), rails.stations, length, _keys(rails))
    if not found and not sheet.problems.noted(("rails",)):
        sheet.problems.note(
            ("rails",),
            said("sheet.no-rails", "There is no rail in it."),
            said("sheet.no-rails.remedy", 'Add one, like centre = { apex = "60/40", tuck = "1/2" }.'),
        )
    return tuple(_rail(at) for at in found)


def _rail(at: At[RailTable]) -> RailMark:
    rail = at.value
    # A hard edge at the tail is a corner: nothing is tucked under it.
    usual = 0.0 if rail.edge is Edge.HARD and at.x < SAME_PLACE else USUAL_TUCK
    angle = None if rail.angle is None else math.radians(rail.angle)
    tuck = usual if rail.tuck is None else rail.tuck
    return RailMark(at.x, rail.apex, tuck, at.place, rail.edge, angle, rail.fullness, rail.radius)


def _deck(sheet: Opened) -> tuple[DeckMark, ...]:
    deck, length = sheet.written.deck, sheet.written.length
    if deck is None:
        return ()
    found = sheet.at_stations(("deck",), deck.stations, length, _keys(deck))
    return tuple(
        DeckMark(
            at.x,
            USUAL_CROWN if at.value.crown is None else at.value.crown,
            USUAL_ROLL if at.value.roll is None else at.value.roll,
            at.place,
            at.value.fullness,
        )
        for at in found
    )


def _deck_step(sheet: Opened) -> DeckStep | None:
    step = sheet.written.deck.step if sheet.written.deck else None
    if step is None:
        return None
    x = sheet.station(("deck", "step", "at"), step.at, sheet.written.length)
    return DeckStep(math.nan if x is None else x, step.step, step.blend, step.margin, step.at)


def _rail_step(sheet: Opened) -> RailStepMark | None:
    step = sheet.written.deck.rail_step if sheet.written.deck else None
    return None if step is None else RailStepMark(step.step, step.margin, step.blend)


def _assumed(sheet: Opened) -> tuple[str, ...]:
    """Return the keys for which the usual stands, because the sheet does not say them."""
    written = sheet.written
    told = {
        "wide_at": written.outline.wide_at is not None,
        "thickest_at": written.thickness.thickest_at is not None,
        "tuck": all(rail.tuck is not None for rail in written.rails.stations.values()),
        "deck": written.deck is not None and bool(written.deck.stations),
    }
    return tuple(key for key, said_so in told.items() if not said_so)


def _with_wide_point(widths: tuple[Mark, ...], wide: float, wide_at: float | None) -> list[Mark]:
    point = [] if wide_at is None else [Mark(wide_at, wide, "wide")]
    return sorted([*widths, *point], key=lambda mark: mark.x)


def _fins(sheet: Opened, widths: list[Mark]) -> tuple[FinMark, ...]:
    fins = sheet.written.fins
    if fins is None:
        return ()
    boxes = [box for n, written in enumerate(fins.box) for box in _boxes(sheet, n, written)]
    return (*(usual_fins(fins.layout, widths) if fins.layout and widths else ()), *boxes)


def _boxes(sheet: Opened, place: int, written: FinBoxTable) -> tuple[FinMark, ...]:
    x = sheet.station(("fins", "box", place, "at"), written.at, sheet.written.length)
    box = FinMark(
        name=written.name,
        x=math.nan if x is None else x,
        y=written.offset,
        toe=math.radians(written.toe),
        cant=math.radians(written.cant),
        box_length=written.length,
        box_width=written.width,
        box_depth=written.depth,
        cover=written.cover,
    )
    return on_sides(box, written.side)
