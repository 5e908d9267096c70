"""Reading what a board sheet says of its ends: tail form, tips, wings, beak."""

from __future__ import annotations

import math
from collections.abc import Mapping

from foamwright.board.numbers import Beak, Tail, TailKind, Wing
from foamwright.board.tail_forms import FIELDS, tail_of
from foamwright.board.tail_words import Corners
from foamwright.board.written import BoardSheet, OutlineTable
from foamwright.sheets.opening import OpenSheet
from foamwright.stations import Mark
from foamwright.units import INCH

Opened = OpenSheet[BoardSheet]

TIP_CROWN = INCH / 16
"""Crown of a swallow's tips: so much more the imagined stringer has than the middle of a tip."""


def tail(written: OutlineTable) -> Tail:
    """Return the tail that is written; what it leaves out is usual for its form."""
    form, width = written.tail_form, written.tail or 0.0
    given = given_numbers(written)
    if form is None or form.kind is None:
        # A width and no form is a plain block of that width; check_board asks for a form where there is none.
        return tail_of(TailKind.SQUARE, width, {"tail_corner": 0.0, **_said(given)})
    if form.corners is Corners.SHARP:
        given = {"tail_corner": 0.0, **_said(given)}
    return tail_of(form.kind, width, given)


def given_numbers(written: OutlineTable) -> dict[str, float | None]:
    """Return the tail's numbers by their keys, metres; ``None`` where the sheet does not say."""
    return {key: getattr(written, key) for key in FIELDS}


def _said(given: Mapping[str, float | None]) -> dict[str, float | None]:
    return {key: value for key, value in given.items() if value is not None}


def wings(sheet: Opened) -> tuple[Wing, ...]:
    """Return the wings of a sheet, from tail to nose."""
    found = []
    for place, written in enumerate(sheet.written.outline.wing):
        x = sheet.station(("outline", "wing", place, "at"), written.at, sheet.written.length)
        at = math.nan if x is None else x
        found.append(Wing(at, written.step, written.length, written.flare, written.fade_forward, written.at))
    return tuple(sorted(found, key=lambda wing: (math.isnan(wing.x), wing.x)))


def beak(sheet: Opened) -> Beak | None:
    """Return the beak of a sheet, if it has one."""
    written = sheet.written.thickness.nose_beak
    return None if written is None else Beak(written.length, written.tip, written.n)


def thickness_marks(sheet: Opened) -> tuple[Mark, ...]:
    """Return the thicknesses at the stringer; a beak's begins it, a swallow's tips stand for it."""
    written = sheet.written.thickness
    marks = list(
        sheet.marks(("thickness",), written.stations, sheet.written.length, type(written).model_fields)
    )
    if written.tail_tip is not None and written.tail is None:
        marks.insert(0, Mark(0.0, written.tail_tip + TIP_CROWN, "tail_tip"))
    if written.nose_beak is not None and written.nose is None:
        begins = sheet.written.length - written.nose_beak.length
        marks.append(Mark(begins, written.nose_beak.thickness, "nose_beak"))
    return tuple(sorted(marks, key=lambda mark: (math.isnan(mark.x), mark.x)))
