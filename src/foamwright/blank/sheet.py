"""Reading a stock sheet."""

from __future__ import annotations

import os

from foamwright.blank.foam_words import CUSTOMS, Custom
from foamwright.blank.numbers import BlankNumbers, Face, Stringer
from foamwright.blank.sheet_checks import check_blank, check_ids
from foamwright.blank.sheet_writing import stock_sheet
from foamwright.blank.written import BlankTable, StockSheet
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.fields import StationTable
from foamwright.sheets.locate import Path
from foamwright.sheets.opening import OpenSheet, open_sheet
from foamwright.stations import Mark

__all__ = ["read_stock", "stock_from_text", "stock_sheet"]

Opened = OpenSheet[StockSheet]


def read_stock(path: str | os.PathLike[str]) -> tuple[BlankNumbers, ...]:
    """Return the blanks in a stock sheet, in its order.

    Raises
    ------
    InputError
        The file cannot be read, holds no blank, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def stock_from_text(text: str, name: str) -> tuple[BlankNumbers, ...]:
    """Return the blanks in a stock sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        It holds no blank, or anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def _read(document: Document) -> tuple[BlankNumbers, ...]:
    sheet = open_sheet(StockSheet, document)
    blanks = tuple(_numbers(sheet, n, written) for n, written in enumerate(sheet.written.blank))
    for n, blank in enumerate(blanks):
        check_blank(sheet, n, blank)
    check_ids(sheet)
    sheet.problems.finish()
    return blanks


def _numbers(sheet: Opened, place: int, written: BlankTable) -> BlankNumbers:
    path: Path = ("blank", place)
    outline, custom = written.outline, _custom(written)
    wide_at = outline.wide_at if outline else None
    return BlankNumbers(
        id=written.id,
        foam=written.foam,
        section=written.section,
        length=written.length,
        outline=_outline(sheet, path, written),
        wide=outline.wide if outline else None,
        wide_at=sheet.station((*path, "outline", "wide_at"), wide_at, written.length),
        rocker=_marks(sheet, (*path, "rocker"), written.rocker, written.length),
        thickness=_thickness(sheet, path, written),
        dome=_marks(sheet, (*path, "dome"), written.dome, written.length) if written.dome else (),
        stringer=Stringer(written.stringer.wood, written.stringer.width or 0.0),
        price=written.price,
        currency=sheet.written.currency,
        on_hand=written.on_hand,
        lead_time_days=written.lead_time_days,
        hard_face=custom.hard_face,
        hard_most=custom.hard_most,
        skim_bottom=custom.skim_bottom,
        skim_deck=custom.skim_deck,
    )


def _marks(sheet: Opened, path: Path, table: StationTable, length: float) -> tuple[Mark, ...]:
    return sheet.marks(path, table.stations, length, type(table).model_fields)


def _same_everywhere(value: float, length: float) -> tuple[Mark, ...]:
    return (Mark(0.0, value, "tail"), Mark(length, value, "nose"))


def _outline(sheet: Opened, path: Path, written: BlankTable) -> tuple[Mark, ...]:
    if written.outline is not None:
        return _marks(sheet, (*path, "outline"), written.outline, written.length)
    return _same_everywhere(written.width, written.length) if written.width is not None else ()


def _thickness(sheet: Opened, path: Path, written: BlankTable) -> tuple[Mark, ...]:
    table = written.thickness
    if table.everywhere is not None:
        return _same_everywhere(table.everywhere, written.length)
    return _marks(sheet, (*path, "thickness"), table, written.length)


def _custom(written: BlankTable) -> Custom:
    """What may and must come off: as the sheet says, and as is usual for the foam where it says nothing."""
    usual = CUSTOMS[written.foam.family]
    hard_face = written.hard_face if "hard_face" in written.model_fields_set else usual.hard_face
    return Custom(
        hard_face=hard_face,
        hard_most=_hard_most(written, hard_face, usual),
        skim_bottom=usual.skim_bottom if written.skim.bottom is None else written.skim.bottom,
        skim_deck=usual.skim_deck if written.skim.deck is None else written.skim.deck,
    )


def _hard_most(written: BlankTable, hard_face: Face | None, usual: Custom) -> float:
    if written.hard_most is not None:
        return written.hard_most
    return usual.hard_most if hard_face is usual.hard_face else 0.0
