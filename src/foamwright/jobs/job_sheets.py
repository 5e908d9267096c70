"""The sheets in a job's folder beside its plan, so that later commands need to be told none of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from foamwright.bay.sheet import bay_sheet
from foamwright.bench.store import HISTORY
from foamwright.blank.sheet_writing import stock_sheet
from foamwright.board.sheet_writing import board_sheet
from foamwright.errors import InputError, Problem
from foamwright.files import settle_folder, write_folder_atomically
from foamwright.planning.plan import Plan
from foamwright.sheets.document import parse_document
from foamwright.sheets.kinds import ANY_SHEET, KINDS, Kind
from foamwright.units import System, Unit

PLAN = "plan.json"
BOARD = "board.toml"
BAY = "bay.toml"
BLANK = "blank.toml"
"""A stock sheet of the one blank that the job is cut from."""
RIDER = "rider.toml"

JOB_FILES = frozenset({PLAN, BOARD, BAY, BLANK, RIDER, HISTORY})


def refuse_job_file(path: Path) -> None:
    """Keep a command's own output from taking the place of a file that a job lives by.

    Raises
    ------
    InputError
        It would.
    """
    if path.name in JOB_FILES and (path.parent / PLAN).exists():
        raise InputError(
            Problem(str(path), "It belongs to the job there and would be lost.", "Choose another name.")
        )


def refuse_own_sheets(written: Iterable[Path], read: Iterable[Path | None]) -> None:
    """Keep a command from writing over a sheet that it reads, under whatever name and through any link.

    Parameters
    ----------
    written
        Files to be.
    read
        Sheets and other files that are read; `None` where one is not given.

    Raises
    ------
    InputError
        It would; names every file.
    """
    there = [path for path in written if path.exists()]
    given = [path for path in read if path is not None and path.exists()]
    problems = [
        Problem(
            str(path),
            f"It is read here ({own}), and would be written over.",
            "Choose another name or folder.",
        )
        for path in there
        for own in given
        if path.samefile(own)
    ]
    if problems:
        raise InputError(problems)


def refuse_other_sheet(path: Path, model: str) -> None:
    """Keep a sheet from taking the place of anything but a sheet of its own kind, or an empty file.

    Parameters
    ----------
    path
        File to be.
    model
        Its kind, as `foamwright.sheets.kinds.KINDS` names it.

    Raises
    ------
    InputError
        Something else lies there and would be lost.
    """
    own = KINDS[model]
    there = _kinds_of(path.read_bytes()) if path.is_file() else []
    if there and own not in there:
        words = there[0].words
        what = f"{words[:1].upper()}{words[1:]} lies there and would be lost."
        raise InputError(Problem(str(path), what, _ANOTHER))
    refuse_other_file(path, own.words, lambda _content: own in there)


def refuse_other_file(path: Path, words: str, is_own: Callable[[bytes], bool]) -> None:
    """Keep an output from taking the place of a file that is none of its kind, unless that is empty.

    Parameters
    ----------
    path
        File to be.
    words
        What it is, like ``a picture``.
    is_own
        Whether a content is one.

    Raises
    ------
    InputError
        Something else lies there and would be lost.
    """
    if path.is_file() and (content := path.read_bytes()).strip() and not is_own(content):
        raise InputError(Problem(str(path), f"What lies there is not {words} and would be lost.", _ANOTHER))


_ANOTHER = "Name another file."


def _kinds_of(content: bytes) -> list[Kind]:
    """Return the kinds of sheets that a content speaks for; none where it is no sheet."""
    try:
        keys = frozenset(parse_document(content.decode(), "").tree) - ANY_SHEET
    except (InputError, UnicodeDecodeError):
        return []
    most = max(kind.known(keys) for kind in KINDS.values())
    return [kind for kind in KINDS.values() if most and kind.known(keys) == most]


def write_results(folder: Path, contents: Mapping[str, bytes], read: Iterable[Path | None]) -> None:
    """Write what a command found into a folder, all of it or nothing; never over a sheet that it read.

    Parameters
    ----------
    folder, contents
        As `foamwright.files.write_folder_atomically` takes them.
    read
        As `refuse_own_sheets` takes them.

    Raises
    ------
    InputError
        A sheet would be lost, or the folder cannot be written to.
    """
    refuse_own_sheets([folder / name for name in contents], read)
    write_folder_atomically(folder, contents)


def refuse_begun(folder: Path, plan: bytes) -> None:
    """Keep a plan from taking the place of another one whose strokes and readings lie there.

    Raises
    ------
    InputError
        It would: the history would be told of the wrong board.
    """
    settle_folder(folder)
    there, history = folder / PLAN, folder / HISTORY
    told = len(history.read_bytes().splitlines()) if history.is_file() else 0
    if told and there.is_file() and there.read_bytes() != plan:
        what = f"A job with another plan is under way there: {told} entries in its history."
        raise InputError(Problem(str(folder), what, "Write to another folder."))


@dataclass(frozen=True, slots=True)
class GivenSheets:
    """The sheets that a job was planned from, where they are files; they go along word for word.

    Attributes
    ----------
    board, bay, rider
        Files; ``None``: there is none, and what can be written from the plan is.
    """

    board: Path | None = None
    bay: Path | None = None
    rider: Path | None = None

    def texts(self) -> dict[str, bytes]:
        """Return name in the job's folder to content, of those that were given.

        Raises
        ------
        InputError
            A file went away since it was read.
        """
        given = {BOARD: self.board, BAY: self.bay, RIDER: self.rider}
        return {name: _content(path) for name, path in given.items() if path is not None}


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(Problem(str(path), f"Cannot be read: {error.strerror}.", "Look for it.")) from error


def sheets_of(plan: Plan, given: GivenSheets, folder: Path, system: System) -> dict[str, bytes]:
    """Return the sheets that go into a job's folder: board, bay, blank, and rider if any.

    Parameters
    ----------
    plan
        The plan.
    given
        Sheets that are files go in word for word, with their remarks; the others are written from the plan.
    folder
        Where they go.
    system
        Inches or millimetres, for what is written.

    Raises
    ------
    InputError
        A sheet that is not this job's lies there and would be lost.
    """
    unit = Unit.MM if system is System.MM else Unit.INCH
    written = {
        BOARD: board_sheet(plan.board.numbers, unit).encode(),
        BAY: bay_sheet(plan.bay, unit).encode(),
        BLANK: stock_sheet([plan.blank.numbers], unit).encode(),
    }
    texts = given.texts()
    _require_own(folder, {**written, **texts}, texts)
    return {**written, **texts}


def _require_own(folder: Path, sheets: Mapping[str, bytes], given: Mapping[str, bytes]) -> None:
    """Raise where a sheet would be lost or no longer be true of the job.

    That is any in a folder that is no job; in one that is, a bay of its own, and a rider not planned for.
    """
    if not (folder / PLAN).exists():
        _require_same(folder, sheets, "Move it away, or write to another folder.")
        return
    if BAY not in given:
        _require_same(folder, {BAY: sheets[BAY]}, "Plan with it (--bay), or move it away.")
    if RIDER not in given and (folder / RIDER).is_file():
        what = "The job was planned for a rider, and now for none."
        raise InputError(Problem(str(folder / RIDER), what, "Plan with it (--rider), or move it away."))


def _require_same(folder: Path, sheets: Mapping[str, bytes], remedy: str) -> None:
    problems = [
        Problem(str(folder / name), "Another sheet lies there and would be lost.", remedy)
        for name, content in sheets.items()
        if (folder / name).is_file() and (folder / name).read_bytes() != content
    ]
    if problems:
        raise InputError(problems)
