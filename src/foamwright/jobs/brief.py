"""From a rider sheet to a board sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from foamwright.board.board import board_of
from foamwright.board.numbers import BoardNumbers
from foamwright.board.sheet import board_from_text, board_sheet, read_board
from foamwright.brief.brief import Brief, Made, Wish, brief_for, fixed_choice
from foamwright.brief.choosing import FIXED, Choice, Chosen, volume_choice
from foamwright.brief.drafting import INCHES, MILLIMETRES, Number
from foamwright.brief.kinds import Kind, Waves, pattern_of
from foamwright.brief.law import size_for
from foamwright.brief.sizing import fill_of
from foamwright.brief.stretching import Keep, stretched_to, volume_matched, volume_of
from foamwright.brief.verdicts import Verdict, advice_for
from foamwright.errors import InputError, Problem, attempt
from foamwright.files import write_atomically
from foamwright.jobs.brief_fixes import parse_fixes
from foamwright.jobs.job_sheets import refuse_job_file, refuse_other_sheet, refuse_own_sheets
from foamwright.sheets.rider import RiderNumbers, read_rider
from foamwright.units import System, Unit


@dataclass(frozen=True, slots=True)
class BriefOrder:
    """What is asked for besides the rider; `fixes` like ``wide=20 1/2``, `like` a board to start from."""

    kind: Kind | None = None
    waves: Waves = Waves.MEDIUM
    fixes: tuple[str, ...] = ()
    like: Path | None = None


@dataclass(frozen=True, eq=False)
class BriefJob:
    """A board from a brief, as a sheet; `read` are the sheets it comes from, which it never replaces."""

    brief: Brief
    rider: RiderNumbers
    waves: Waves
    unit: Unit
    read: tuple[Path | None, ...] = ()

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<BriefJob {self.brief.kind.value!r} for {self.rider.name!r}: {self.brief.verdict.value}>"

    @property
    def answer_is_no(self) -> bool:
        """Whether the board was refused, or comes after a warning."""
        return self.brief.verdict in (Verdict.WARN, Verdict.REFUSE)

    @property
    def sheet(self) -> str:
        """The board sheet, in TOML; empty where the board is refused."""
        return "" if self.brief.made is None else board_sheet(self.brief.made.numbers, self.unit)

    def write(self, path: Path) -> None:
        """Write the sheet; a refused board writes none.

        Raises
        ------
        InputError
            A sheet of a job, one that this board comes from, or anything that is no board sheet lies there;
            or nothing can be written there.
        """
        refuse_job_file(path)
        refuse_own_sheets([path], self.read)
        refuse_other_sheet(path, "BoardSheet")
        if self.brief.made is not None:
            write_atomically(path, self.sheet.encode())

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        brief = self.brief
        return {
            "verdict": brief.verdict.value,
            "kind": brief.kind.value,
            "reason": " ".join(f"{finding.sentence} {finding.remedy}" for finding in brief.findings),
            "waves": self.waves.value,
            "suit": self.rider.worn.value,
            **self._board(),
            "choices": [
                {"name": c.name, "value": c.value, "unit": c.unit, "why": c.why, "basis": c.basis}
                for c in brief.choices
            ],
            "warnings": [finding.as_json() for finding in brief.findings],
        }

    def _board(self) -> dict[str, object]:
        """The board's numbers; ``None`` where it is refused."""
        made = self.brief.made
        if made is None:
            return dict.fromkeys(BOARD_KEYS)
        numbers = made.numbers
        values = (
            numbers.name,
            self.sheet,
            numbers.length,
            numbers.wide,
            numbers.thickest,
            1000.0 * made.volume,
            1000.0 * made.target,
            numbers.rocker[-1].value,
            numbers.rocker[0].value,
            float(made.nose_tip),
            float(made.tail_tip),
            None if made.fins is None else made.fins.value,
        )
        return dict(zip(BOARD_KEYS, values, strict=True))


BOARD_KEYS = (
    "name",
    "sheet",
    "length_m",
    "width_m",
    "thickness_m",
    "volume_l",
    "target_l",
    "nose_rocker_m",
    "tail_rocker_m",
    "nose_tip_m",
    "tail_tip_m",
    "fins",
)
"""What a brief says of its board."""


def brief_job(rider: Path, order: BriefOrder, system: System) -> BriefJob:
    """Return the board for a rider sheet.

    Parameters
    ----------
    rider
        Rider sheet.
    order
        What else is wanted.
    system
        Tape that the board is put on; also what a bare number in a fix means.

    Raises
    ------
    InputError
        A sheet or a fixed number is wrong, or no fair board has them.
    """
    unit = Unit.MM if system is System.MM else Unit.INCH
    problems: list[Problem] = []
    fixed = attempt(problems, lambda: _fixed(order, unit))
    person = attempt(problems, lambda: read_rider(rider))
    start = None if order.like is None else attempt(problems, partial(read_board, order.like))
    if problems or fixed is None or person is None:
        raise InputError(problems)
    grid = MILLIMETRES if system is System.MM else INCHES
    with _naming(fixed):
        if start is not None:
            brief = _like(person, order, fixed, start)
        else:
            brief = brief_for(person, Wish(order.kind, order.waves, fixed, grid))
        job = BriefJob(brief, person, order.waves, unit, (rider, order.like))
        _require_readable(job)
    return job


def _fixed(order: BriefOrder, unit: Unit) -> dict[Number, float]:
    fixed = parse_fixes(order.fixes, unit)
    if order.like is not None:
        _require_size_only(fixed)
    return fixed


def _require_readable(job: BriefJob) -> None:
    """Raise where the sheet could not be read back: a fixed number is no board's, or what follows from it."""
    if job.brief.made is None:
        return
    try:
        board_from_text(job.sheet, "the board")
    except InputError as wrong:
        raise InputError([replace(one, where=_LINE.sub("", one.where)) for one in wrong.problems]) from None


_LINE = re.compile(r", line \d+")


@contextmanager
def _naming(fixed: Mapping[Number, float]) -> Iterator[None]:
    """Let a problem of a board with fixed numbers say that these were fixed, and by which option."""
    try:
        yield
    except InputError as wrong:
        option = f"--fix {', '.join(fixed)}"
        raise InputError(
            [
                replace(one, where=f"{option}: {one.where}") if fixed and "--fix" not in one.where else one
                for one in wrong.problems
            ]
        ) from None


SIZE = (Number.LENGTH, Number.WIDE, Number.THICKEST)


def _like(rider: RiderNumbers, order: BriefOrder, fixed: dict[Number, float], like: BoardNumbers) -> Brief:
    """Return an existing board stretched to the fixed sizes and then to the rider's volume."""
    advice = advice_for(rider, order.kind, order.waves)
    if advice.verdict is Verdict.REFUSE:
        return Brief(advice.kind, None, (), advice.findings)
    pattern = pattern_of(advice.kind, order.waves)
    size = size_for(rider, pattern, order.waves, fill_of(pattern))
    target = fixed.get(Number.VOLUME, size.volume)
    start = stretched_to(like, *(fixed.get(number) for number in SIZE))
    numbers = _matched(start, target, fixed)
    board_of(numbers)
    chosen = Chosen(rider, advice.kind, pattern, order.waves, size, numbers, System.INCH)
    choices = (
        Choice("like", start.name, "", f"a board like {start.name} was asked for.", FIXED),
        *(() if Number.VOLUME in fixed else (volume_choice(chosen),)),
        *(fixed_choice(n, v) for n, v in fixed.items()),
    )
    return Brief(advice.kind, Made(numbers, volume_of(numbers), target), choices, advice.findings)


def _require_size_only(fixed: dict[Number, float]) -> None:
    allowed = (*SIZE, Number.VOLUME)
    problems = [
        Problem(
            f"--fix {n}",
            "cannot be fixed on a board like another.",
            f"Fix {', '.join(allowed)}, or edit the sheet.",
        )
        for n in fixed
        if n not in allowed
    ]
    if fixed.keys() >= set(allowed):
        problems.append(Problem("--fix", "Size and volume are all fixed.", "Free one of them."))
    if problems:
        raise InputError(problems)


def _matched(start: BoardNumbers, target: float, fixed: dict[Number, float]) -> BoardNumbers:
    wide, thick = Number.WIDE in fixed, Number.THICKEST in fixed
    if wide and thick:
        if Number.LENGTH in fixed:
            return start
        raise InputError(
            Problem("--fix", "wide and thickest fix the board like another.", "Fix length too, or free one.")
        )
    keep = Keep.PLAN if wide else Keep.PROFILE if thick else Keep.LENGTH
    return volume_matched(start, target, keep)
