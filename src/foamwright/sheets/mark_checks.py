"""Checks of numbers at stations that boards and blanks share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TypeVar

from foamwright.findings import said
from foamwright.sheets.fields import SheetModel
from foamwright.sheets.locate import Path
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.stations import SAME_PLACE
from foamwright.stations import Mark
from foamwright.units import Unit, quoted, write_length

M = TypeVar("M", bound=SheetModel)


def shown(metres: float, unit: Unit | None) -> str:
    """Return a length as the sheet's writer measures it."""
    own = unit or Unit.INCH
    return f"{write_length(metres, own)} {own}"


def check_most(sheet: OpenSheet[M], path: Path, marks: Iterable[Mark], most: Mark) -> None:
    """Note every mark above the greatest value, which `most` names and holds."""
    for mark in marks:
        if mark.value > most.value:
            sheet.problems.note(
                (*path, mark.place),
                said(
                    "sheet.above-most",
                    "{place} has {here}, more than “{most}” ({there}).",
                    place=quoted(mark.place),
                    here=shown(mark.value, sheet.unit),
                    most=most.place,
                    there=shown(most.value, sheet.unit),
                ),
                said(
                    "sheet.above-most.remedy",
                    "“{most}” is the greatest of all; raise it, or lower this one.",
                    most=most.place,
                ),
            )


def check_own_place(sheet: OpenSheet[M], path: Path, marks: Iterable[Mark], x: float | None) -> None:
    """Note a mark where the greatest value lies; `path` names the key that says where."""
    for mark in marks:
        if x is not None and abs(mark.x - x) < SAME_PLACE:
            sheet.problems.note(
                (*path[:-1], mark.place),
                said(
                    "sheet.own-place",
                    "{place} is the place that “{key}” names.",
                    place=quoted(mark.place),
                    key=str(path[-1]),
                ),
                said("sheet.own-place.remedy", "Keep one of the two numbers there."),
            )


def check_rocker(sheet: OpenSheet[M], path: Path, rocker: Sequence[Mark]) -> None:
    """Note every mark that does not rise from the lowest one towards its tip."""
    middle = (rocker[0].x + rocker[-1].x) / 2 if rocker else 0.0
    rocker = [mark for mark in rocker if math.isfinite(mark.x) and math.isfinite(mark.value)]
    # Of two equally low marks the one nearer to the middle is the lowest point.
    lowest = min(range(len(rocker)), key=lambda n: (rocker[n].value, abs(rocker[n].x - middle)), default=0)
    for inboard, outboard in [
        *((rocker[n + 1], rocker[n]) for n in range(lowest)),
        *((rocker[n], rocker[n + 1]) for n in range(lowest, len(rocker) - 1)),
    ]:
        if outboard.value <= inboard.value:
            _note_fall(sheet, path, inboard, outboard)


def _note_fall(sheet: OpenSheet[M], path: Path, inboard: Mark, outboard: Mark) -> None:
    sheet.problems.note(
        (*path, outboard.place),
        said(
            "sheet.rocker-falls",
            "{place} has {here} of rocker, not more than {inner} ({there}).",
            place=quoted(outboard.place),
            here=shown(outboard.value, sheet.unit),
            inner=quoted(inboard.place),
            there=shown(inboard.value, sheet.unit),
        ),
        said(
            "sheet.rocker-falls.remedy",
            "Rocker rises from the lowest point to each tip; check both numbers.",
        ),
    )
