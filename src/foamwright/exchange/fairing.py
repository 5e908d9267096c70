"""Numbers off by the noise of their measurement, moved to the nearest ones that are fair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from foamwright.board.numbers import BoardNumbers
from foamwright.board.outline import outline_of
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.shape.fair import UnfairError
from foamwright.shape.trade_curves import Point, domed, touching
from foamwright.stations import Mark

ROUNDS = 3
MOST = 0.005
"""Metres: a number that would have to move farther was not measured badly, it is not of that curve."""

SPARE = 1e-6
"""Metres by which a moved number goes on, so that it is fair and not only nearly."""


def faired(numbers: BoardNumbers) -> tuple[BoardNumbers, tuple[Finding, ...]]:
    """Return numbers through which fair curves pass, and what had to move for it.

    Raises
    ------
    InputError
        A number would have to move by more than 5 mm.
    """
    outline, of_outline = _settled(numbers, "outline", lambda n: _try(outline_of, n), 2.0)
    rocker, of_rocker = _settled(outline, "rocker", lambda n: _try(_rocker, n), 1.0)
    foil, of_foil = _settled(rocker, "thickness", lambda n: _try(_foil, n), 1.0)
    return foil, (*of_outline, *of_rocker, *of_foil)


def _rocker(numbers: BoardNumbers) -> object:
    return touching(_points(numbers.rocker), numbers.low_at)


def _foil(numbers: BoardNumbers) -> object:
    return domed(_points(numbers.thickness), numbers.thickest, numbers.thickest_at)


def _points(marks: tuple[Mark, ...]) -> tuple[Point, ...]:
    return tuple(Point(m.x, m.value, m.place) for m in marks)


def _try(make: Callable[[BoardNumbers], object], numbers: BoardNumbers) -> UnfairError | None:
    try:
        make(numbers)
    except UnfairError as unfair:
        return unfair
    return None


def _settled(
    numbers: BoardNumbers, table: str, failure_of: Callable[[BoardNumbers], UnfairError | None], factor: float
) -> tuple[BoardNumbers, list[Finding]]:
    given = {mark.place: mark.value for mark in getattr(numbers, table)}
    for _ in range(ROUNDS):
        failure = failure_of(numbers)
        if failure is None:
            return numbers, _moved(table, given, getattr(numbers, table))
        fair = {move.name: move.fair * factor for move in failure.moves}
        marks = tuple(
            replace(mark, value=max(fair.get(mark.place, mark.value), 0.0))
            for mark in getattr(numbers, table)
        )
        if max(abs(mark.value - given[mark.place]) for mark in marks) > MOST:
            break
        numbers = _with(numbers, table, marks, fair)
    thinner = _without_inner(numbers, table)
    if thinner is not None and failure_of(thinner) is None:
        return thinner, _moved(table, given, getattr(thinner, table))
    raise InputError(
        Problem(
            numbers.name,
            f"no fair {table} comes within 5 mm of what was measured.",
            "Check the readings, or measure again; a dinged or twisted board shows here.",
        )
    )


def _with(numbers: BoardNumbers, table: str, marks: tuple[Mark, ...], fair: dict[str, float]) -> BoardNumbers:
    if table == "outline":
        return replace(numbers, outline=marks, wide=fair.get("wide", numbers.wide))
    if table == "rocker":
        return replace(numbers, rocker=marks)
    return replace(numbers, thickness=marks, thickest=fair.get("thickest", numbers.thickest))


def _without_inner(numbers: BoardNumbers, table: str) -> BoardNumbers | None:
    """The numbers with fewer stations between the tips, if there are any to spare."""
    marks = getattr(numbers, table)
    if len(marks) <= 4:
        return None
    kept = (*marks[:2], *marks[-2:])
    return _with(numbers, table, kept, {})


def _moved(table: str, given: dict[str, float], marks: tuple[Mark, ...]) -> list[Finding]:
    worst = max(marks, key=lambda mark: abs(mark.value - given[mark.place]))
    by = abs(worst.value - given[worst.place])
    if by < SPARE:
        return []
    return [
        Finding(
            "scan-faired",
            Severity.NOTE,
            f"[{table}] {worst.place}",
            by,
            MOST,
            "m",
            f"The {table} was moved by up to {by * 1000:.2f} mm, so that a fair curve passes through it.",
            "Check that station if more than the noise of the measurement was moved.",
        )
    ]
