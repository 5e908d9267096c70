"""What there is to say about a board, each at its number: findings of the checks, and what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.jobs.live_planning import Wanted, checked_board
from foamwright.sheets.unfair import Unfair
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.numerals import Bench
from foamwright.web.planning.places import FIELD_OF_CODE, column_of, field_of, x_of
from foamwright.web.planning.rows import Numeral, way_of
from foamwright.web.planning.sheet_text import changed_text

STRIDES = (1, 2, 3, 4, 6, 8, 12, 16)
"""Marks by which a number is moved, either way, to find what a finding needs."""
BEYOND_FAIR = (0, 1, 2, 4, 8, 16, 32)
"""Marks beyond the fair value that are tried for one number alone: to 32 marks, doubling, so that seven tries
reach it. Where it can only be within less than a doubling, or farther off, no value is offered."""


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing to say.

    Attributes
    ----------
    code
        The finding's code; ``wrong`` for a problem.
    mark
        ``!`` to look at, ``i`` to know, ``×`` that stops the work.
    severity
        ``note``, ``warning``, ``stop`` or ``wrong``.
    what, remedy
        In the visitor's words.
    name
        The row it belongs to; empty if to none.
    stop
        The stop it belongs to; empty if to none.
    x
        Metres from the tail; ``None`` where it has no place.
    """

    code: str
    mark: str
    severity: str
    what: str
    remedy: str
    name: str
    stop: str
    x: float | None

    @property
    def key(self) -> str:
        """What it is remembered by when it is left as it is."""
        return f"{self.code} {self.name or self.stop}"


def notices_of(draft: Draft) -> list[Notice]:
    """Return what there is to say about a board, gravest first."""
    bench, reader = draft.bench, draft.reader
    found = [_problem(one, reader.problem(one), bench) for one in draft.problems]
    checked = draft.checked
    return found + [_finding(one, bench) for one in (checked.warnings if checked else ())]


def _problem(raw: Problem, said: Problem, bench: Bench) -> Notice:
    name = f"{raw.table}/{raw.place}" if isinstance(raw, Unfair) else field_of(raw)
    stop = _stop_of(name, bench)
    where = "" if stop else said.where
    return (
        Notice(
            "wrong", "×", "wrong", said.what, said.remedy, name, stop, bench.stop(stop).x if stop else None
        )
        if (stop)
        else Notice(
            "wrong", "×", "wrong", f"{where}: {said.what}" if where else said.what, said.remedy, "", "", None
        )
    )


def _finding(one: Finding, bench: Bench) -> Notice:
    x, column = x_of(one, bench.length), column_of(one)
    name = FIELD_OF_CODE.get(one.code, "")
    stop = _stop_of(name, bench) if name else ""
    if x is not None:
        place = min(bench.placed, key=lambda at: abs(at[0] - x))[1]
        stop = place
        rows = bench.stop(place).numerals
        name = next((row.name for row in rows if column and row.name.startswith(f"{column}/")), "")
    mark = {Severity.NOTE: "i", Severity.WARNING: "!", Severity.STOP: "×"}[one.severity]
    said = bench.reader.said
    return Notice(one.code, mark, one.severity.value, said(one.sentence), said(one.remedy), name, stop, x)


def _stop_of(name: str, bench: Bench) -> str:
    """The stop that has a row of this name, or one further in."""
    for key in bench.keys if name else ():
        for row in bench.stop(key).numerals:
            if row.name == name or row.name.startswith(name + "/"):
                return key
    return ""


def made_right(draft: Draft, notice: Notice) -> tuple[Numeral, float] | None:
    """Return the number that a notice belongs to and the nearest value with which it is gone.

    Each value is tried on the whole board: it counts only if the notice goes and nothing graver comes.
    """
    row = draft.bench.numeral(notice.name) if notice.name else None
    if row is None or row.value is None:
        return None
    before = _weight(draft.sheet, draft)

    def is_right(value: float) -> bool:
        sheet = changed_text(draft.sheet, {way_of(row.name): draft.bench.written(row, value)})
        return row.least <= value <= row.most and _is_better(replace(draft, sheet=sheet), notice, before)

    fair = _fair_of(draft, notice)
    if fair is not None:
        value = _nearest_fair(row, row.value, fair, is_right)
        return None if value is None else (row, value)
    tried = (row.value + sign * n * row.mark for n in STRIDES for sign in (1.0, -1.0))
    return next(((row, value) for value in tried if is_right(value)), None)


def _fair_of(draft: Draft, notice: Notice) -> float | None:
    """What the nearest fair curve has in the place of the notice's number, metres."""
    for one in draft.problems:
        if isinstance(one, Unfair) and f"{one.table}/{one.place}" == notice.name:
            return one.fair_m
    return None


def _nearest_fair(row: Numeral, value: float, fair: float, is_right: Callable[[float], bool]) -> float | None:
    """The mark nearest to a number's value that stands while all others stay.

    The nearest fair curve may move several numbers; one of them alone has to go further than it does there.
    Fair curves are a convex set, so what one number may be is one interval: the steps away from the fair
    value double until one stands, and are halved between it and the last that did not.
    """
    sign = row.mark if fair > value else -row.mark
    base = row.mark * round(fair / row.mark)
    right = next((n for n in BEYOND_FAIR if is_right(base + sign * n)), None)
    if right is None:
        return None
    failed = right // 2 if right else -1
    while right - failed > 1:
        between = (failed + right) // 2
        if is_right(base + sign * between):
            right = between
        else:
            failed = between
    return base + sign * right


def _weight(sheet: str, draft: Draft) -> int:
    """How grave what there is to say about a sheet is; gravest where it is no board."""
    try:
        checked = checked_board(Wanted(sheet, draft.reader.lengths, draft.bay))
    except InputError:
        return 1000
    return sum(
        {Severity.STOP: 20, Severity.WARNING: 1, Severity.NOTE: 0}[one.severity] for one in checked.warnings
    )


def _is_better(tried: Draft, notice: Notice, before: int) -> bool:
    after = _weight(tried.sheet, tried)
    if notice.severity == "wrong":
        return after < 1000
    still = any(one.code == notice.code and one.name == notice.name for one in notices_of(tried))
    return not still and after <= before
