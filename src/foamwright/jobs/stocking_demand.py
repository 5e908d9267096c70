"""Where expected boards come from: sampled riders, past jobs, riders' briefs, a shop's database."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text, read_board
from foamwright.brief.brief import brief_for
from foamwright.errors import InputError, Problem, attempt
from foamwright.sheets.rider import read_rider
from foamwright.stocking.demand import Expected, expected_boards


@dataclass(frozen=True)
class Sources:
    """Where boards come from besides the sample; with any of them, nothing is sampled.

    Attributes
    ----------
    sheets
        Board sheets of past jobs.
    riders
        Rider sheets, each briefed for the usual board in medium waves.
    shop
        Address of a shop's database: the boards of all its jobs.
    """

    sheets: tuple[Path, ...] = ()
    riders: tuple[Path, ...] = ()
    shop: str | None = None

    @property
    def given(self) -> bool:
        """Whether there is any."""
        return bool(self.sheets or self.riders or self.shop)

    def said(self) -> tuple[str, ...]:
        """Return where the boards come from, in sentences."""
        told = [
            f"{len(self.sheets)} board sheets of past jobs." if self.sheets else "",
            f"{len(self.riders)} riders, each with the usual board for medium waves (see `brief`)."
            if self.riders
            else "",
            "The boards of all jobs of the shop's database." if self.shop else "",
        ]
        return tuple(f"Expected again: {line[0].lower()}{line[1:]}" for line in told if line)


def demand_of(sources: Sources, boards: int, seed: int) -> tuple[Expected, ...]:
    """Return the expected boards: those of the sources, or so many sampled ones.

    Raises
    ------
    InputError
        A sheet cannot stand, every problem at once; the database is not there or has no jobs.
    """
    if not sources.given:
        return expected_boards(boards, seed)
    problems: list[Problem] = []
    found = [
        *_each(sources.sheets, _from_sheet, problems),
        *_each(sources.riders, _from_rider, problems),
    ]
    shop = attempt(problems, lambda: _from_shop(sources.shop) if sources.shop else ())
    if problems or shop is None:
        raise InputError(problems)
    return (*found, *shop)


def _each(
    paths: Iterable[Path], read: Callable[[Path], Expected], problems: list[Problem]
) -> Iterable[Expected]:
    for path in paths:
        try:
            yield read(path)
        except InputError as wrong:
            problems.extend(wrong.problems)


def _from_sheet(path: Path) -> Expected:
    numbers = read_board(path)
    board_of(numbers)  # so that a board that is not fair is told now, with all the others
    return Expected(numbers, 1.0, path.name.split(".")[0])


def _from_rider(path: Path) -> Expected:
    rider = read_rider(path)
    brief = brief_for(rider)
    if brief.made is None:
        finding = brief.findings[0]
        raise InputError(Problem(path.name, finding.sentence, finding.remedy))
    return Expected(brief.made.numbers, 1.0, str(brief.kind))


def _from_shop(url: str) -> tuple[Expected, ...]:
    from foamwright.shop.jobs import JobQuery, find_jobs
    from foamwright.shop.kinds import Shelf
    from foamwright.shop.opening import open_database, require_there

    require_there(url)
    found: list[tuple[int, str]] = []
    with closing(open_database(url)) as database, database.reading() as session:
        for shelf in Shelf:
            seen = 0
            while page := find_jobs(session, JobQuery(shelf=shelf, limit=100, offset=seen)):
                seen += len(page)
                found += [(job.id, job.board_sheet) for job in page]
    boards = [(number, sheet) for number, sheet in sorted(found) if sheet]
    if not boards:
        raise InputError(
            Problem("--from-shop", "no job there has a board.", "Give jobs their boards, or sample boards.")
        )
    return tuple(Expected(board_from_text(sheet, f"job {number}"), 1.0, "board") for number, sheet in boards)
