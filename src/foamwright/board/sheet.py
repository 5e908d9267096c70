"""Reading a board sheet."""

from __future__ import annotations

import math
import os
from collections.abc import Iterable

from foamwright.board.fin_layouts import on_sides, usual_fins
from foamwright.board.numbers import (
    BoardNumbers,
    BottomMark,
    FinMark,
    RailMark,
    Tail,
    TailKind,
)
from foamwright.board.sheet_checks import check_board
from foamwright.board.sheet_writing import board_sheet
from foamwright.board.tail_words import POINTED, usual_corner_radius
from foamwright.board.written import BoardSheet, FinBoxTable, OutlineTable
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.fields import StationTable
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.opening import open_sheet as open_document
from foamwright.stations import Mark

__all__ = ["board_from_text", "board_sheet", "read_board"]

Opened = OpenSheet[BoardSheet]


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
    sheet = open_document(BoardSheet, document)
    numbers = _numbers(sheet)
    check_board(sheet, numbers)
    sheet.problems.finish()
    return numbers


def _numbers(sheet: Opened) -> BoardNumbers:
    written = sheet.written
    outline, thickness = written.outline, written.thickness
    widths = _widths(sheet)
    wide_at = sheet.station(("outline", "wide_at"), outline.wide_at, written.length)
    return BoardNumbers(
        name=written.name,
        length=written.length,
        outline=widths,
        wide=outline.wide,
        wide_at=wide_at,
        tail=_tail(outline),
        rocker=_marks(sheet, "rocker", written.rocker),
        apex=sheet.station(("rocker", "apex"), written.rocker.apex, written.length),
        thickness=_marks(sheet, "thickness", thickness),
        thickest=thickness.thickest,
        thickest_at=sheet.station(("thickness", "thickest_at"), thickness.thickest_at, written.length),
        rails=_rails(sheet),
        bottom=_bottom(sheet),
        fins=_fins(sheet, _with_wide_point(widths, outline.wide, wide_at)),
    )


def _marks(sheet: Opened, table: str, written: StationTable) -> tuple[Mark, ...]:
    return sheet.marks((table,), written.stations, sheet.written.length, _keys(written))


def _keys(written: StationTable) -> Iterable[str]:
    return type(written).model_fields


def _widths(sheet: Opened) -> tuple[Mark, ...]:
    marks, written = _marks(sheet, "outline", sheet.written.outline), sheet.written.outline
    pointed = written.tail_form is not None and written.tail_form.kind in POINTED
    return (Mark(0.0, 0.0, "tail"), *marks) if written.tail is None and pointed else marks


def _tail(written: OutlineTable) -> Tail:
    form, width = written.tail_form, written.tail or 0.0
    if form is None or form.kind is None:
        # A width and no form is a plain block of that width; check_board asks for a form where there is none.
        return Tail(TailKind.SQUARE, written.tail_corner or 0.0)
    corner = usual_corner_radius(form, width) if written.tail_corner is None else written.tail_corner
    return Tail(form.kind, corner, written.tail_depth or 0.0)


def _rails(sheet: Opened) -> tuple[RailMark, ...]:
    rails, length = sheet.written.rails, sheet.written.length
    found = sheet.at_stations(("rails",), rails.stations, length, _keys(rails))
    return tuple(RailMark(at.x, at.value.apex, at.value.lower, at.value.upper, at.place) for at in found)


def _bottom(sheet: Opened) -> tuple[BottomMark, ...]:
    bottom, length = sheet.written.bottom, sheet.written.length
    found = sheet.at_stations(("bottom",), bottom.stations, length, _keys(bottom))
    return tuple(BottomMark(at.x, at.value.shape, at.value.depth or 0.0, at.place) for at in found)


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
