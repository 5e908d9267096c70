"""Bottom contours of a sheet made terms: their keys checked against what their kind has."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import Key, Kind, Stretch, Term
from foamwright.board.written_sections import ContourTable
from foamwright.findings import said
from foamwright.sheets.locate import Path
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.stations import SAME_PLACE

if TYPE_CHECKING:
    from foamwright.board.written import BoardSheet

    Opened = OpenSheet[BoardSheet]

STATIONS = ("begin", "full", "to")
TABLE_KEY = {"begin": "from"}
"""Keys by the names of their fields, where these differ."""

COMMON = {"shape", *STATIONS}


def contours_of(sheet: Opened) -> tuple[Term, ...]:
    """Return the contours of a sheet as terms; what cannot stand is noted."""
    written = sheet.written.bottom
    listed = [] if written is None else written.contour
    found = [_term(sheet, ("bottom", "contour", n), table) for n, table in enumerate(listed)]
    return tuple(term for term in found if term is not None)


def _term(sheet: Opened, path: Path, table: ContourTable) -> Term | None:
    kind = KINDS[table.shape]
    numbers: dict[str, float] = {}
    words: dict[str, str] = {}
    for key in kind.keys:
        value = getattr(table, key.name)
        value = key.usual if value is None else value
        if value is None:
            _note_missing(sheet, path, kind, key)
        elif isinstance(value, str):
            words[key.name] = value
        else:
            numbers[key.name] = float(value)
    _note_foreign(sheet, path, kind, table)
    if sheet.problems.noted(path, *((*path, key.name) for key in kind.keys)) or any(
        math.isnan(value) for value in numbers.values()
    ):
        return None
    stretch = _stretch(sheet, path, table, kind, numbers)
    return None if stretch is None else Term(table.shape, numbers, stretch, words)


def _note_missing(sheet: Opened, path: Path, kind: Kind, key: Key) -> None:
    field = type(sheet.written.bottom.contour[0]).model_fields[key.name] if sheet.written.bottom else None
    example = (field.examples or [""])[0] if field else ""
    sheet.problems.note(
        path,
        said("sheet.contour-key", "“{key}” is missing for a {shape}.", key=key.name, shape=kind.shape),
        said("sheet.contour-key.remedy", "Add it, like {example}.", example=example),
    )


def _note_foreign(sheet: Opened, path: Path, kind: Kind, table: ContourTable) -> None:
    known = {key.name for key in kind.keys} | COMMON
    for name in table.model_fields_set - known:
        sheet.problems.note(
            (*path, TABLE_KEY.get(name, name)),
            said("sheet.contour-foreign", "A {shape} has no “{key}”.", shape=kind.shape, key=name),
            said(
                "sheet.contour-foreign.remedy",
                "It has {keys}, from, full and to; take this one away.",
                keys=", ".join(key.name for key in kind.keys),
            ),
        )


def _stretch(
    sheet: Opened, path: Path, table: ContourTable, kind: Kind, numbers: dict[str, float]
) -> Stretch | None:
    length = sheet.written.length
    usual = kind.stretch(length, numbers)
    if table.begin is None and table.full is None and table.to is None:
        return usual
    full = [] if table.full is None else list(table.full)
    begin = sheet.station((*path, "from"), table.begin, length)
    marks = [sheet.station((*path, "full"), place, length) for place in full]
    end = sheet.station((*path, "to"), table.to, length)
    if sheet.problems.noted(*((*path, key) for key in ("from", "full", "to"))) or math.isnan(length):
        return None
    begin = usual.begin if begin is None else begin
    x = [at for at in marks if at is not None]
    if not x and "fade" in numbers:
        found = _faded(begin, end, numbers["fade"])
    elif not x:
        sheet.problems.note(
            path,
            said("sheet.contour-full", "It does not say where it is full."),
            said("sheet.contour-full.remedy", 'Add full = "12 from tail", or two stations in [ ].'),
        )
        return None
    else:
        # A contour that is not told to end stays full and runs out at the tail.
        found = (begin, x[0], 0.0, 0.0) if end is None else (begin, x[0], x[-1], end)
    if any(first < second - SAME_PLACE for first, second in pairwise(found)):
        sheet.problems.note(
            path,
            said("sheet.contour-order", "Its stations do not run from nose to tail."),
            said("sheet.contour-order.remedy", "Write from (nearest the nose), full, to (nearest the tail)."),
        )
        return None
    places = (
        table.begin or usual.places[0],
        full[0] if full else "",
        full[-1] if full else "",
        table.to or "",
    )
    return Stretch(*found, places)


def _faded(begin: float, end: float | None, over: float) -> tuple[float, float, float, float]:
    """Stations of a contour that begins over a length, and fades over it where it ends before the tail."""
    last = 0.0 if end is None else end
    fore = max(begin - over, last)
    aft = min(last + over, fore) if last > SAME_PLACE else last
    return begin, fore, aft, last
