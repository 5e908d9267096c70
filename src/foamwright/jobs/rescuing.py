"""Rescuing a job: the nearest board in the foam that remains, its sheet, and the plan from there on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import cast

from foamwright.bay.sheet import bay_sheet
from foamwright.bench.foam_left import AsIsBlank, FoamLeft, foam_left
from foamwright.bench.rescue import Rescue, Rescuer
from foamwright.bench.store import HISTORY
from foamwright.blank.blank import Blank
from foamwright.blank.numbers import BlankNumbers, Foam, FoamFamily, Section, Stringer
from foamwright.blank.sheet import read_stock
from foamwright.blank.sheet_writing import stock_sheet
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.board.sheet_writing import board_sheet
from foamwright.documents import json_bytes
from foamwright.errors import FaultError, InputError, NoAnswerError, Problem, attempt
from foamwright.files import write_folder_atomically
from foamwright.jobs.bench_job import BenchJob, open_job
from foamwright.jobs.job_sheets import BAY, BLANK, BOARD, PLAN, RIDER, GivenSheets, refuse_own_sheets
from foamwright.jobs.reading import unit_of
from foamwright.jobs.rescue_water import WaterCost, water_cost
from foamwright.lay.limits import Lay
from foamwright.planning.build import build_cuts
from foamwright.planning.plan import Cuts
from foamwright.sheets.rider import read_rider
from foamwright.units import System

RESCUED = "rescued"
"""Folder inside a job's that a rescue goes to unless told otherwise."""


@dataclass(frozen=True, slots=True)
class RescueSheets:
    """Sheets that stand for those of the job's folder; ``None``: the folder's."""

    board: Path | None = None
    rider: Path | None = None


@dataclass(frozen=True, eq=False)
class RescuedJob:
    """A rescue with what was written.

    Attributes
    ----------
    rescue
        The board and what changed.
    foam
        The foam that remained.
    water
        What it costs in the water; ``None`` where no rider is known.
    written
        Files, none where nothing had to change.
    """

    rescue: Rescue
    foam: FoamLeft
    water: WaterCost | None
    written: tuple[Path, ...]

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<RescuedJob: {len(self.rescue.changes)} changes, {len(self.written)} files>"

    def as_json(self) -> dict[str, object]:
        """Return it as plain values, keys as in docs/interface."""
        rescue = self.rescue
        return {
            "changes": [change.as_json() for change in rescue.changes],
            "board": rescue.board.name,
            "volume_l": rescue.volume * 1000.0,
            "volume_lost_l": rescue.lost * 1000.0,
            "water": None if self.water is None else self.water.as_json(),
            "lift_m": rescue.shift.lift,
            "tilt_rad": rescue.shift.tilt,
            "spare_m": rescue.spare,
            "files": [str(path) for path in self.written],
        }


def open_rescue(folder: Path, bay: Path | None, sheets: RescueSheets, system: System) -> BenchJob:
    """Open the job that is to be rescued; the sheets named beside it are looked at too.

    Raises
    ------
    InputError
        With every problem of the job, its bay and the sheets.
    """
    problems: list[Problem] = []
    job = attempt(problems, lambda: open_job(folder, bay, system))
    if sheets.board is not None:
        attempt(problems, partial(read_board, sheets.board))
    if sheets.rider is not None:
        attempt(problems, partial(read_rider, sheets.rider))
    if problems or job is None:
        raise InputError(problems)
    return job


def rescue_job(
    job: BenchJob,
    folder: Path,
    sheets: RescueSheets | None = None,
    out: Path | None = None,
    paper: str = "a4",
) -> RescuedJob:
    """Return the nearest board inside the remaining foam; write its sheet, the plan that goes on, papers.

    Parameters
    ----------
    job, folder
        The job and the folder it lives in.
    sheets
        Board and rider where they are not ``board.toml`` and ``rider.toml`` of the folder.
    out
        Where the new sheet and plan go; ``None``: ``rescued`` in the folder. Where nothing has to change,
        nothing is written.
    paper
        ``"a4"`` or ``"letter"``.

    Raises
    ------
    InputError
        There is no board sheet, it is another board's, or the rider's sheet cannot stand.
    NoAnswerError
        No board near this one is inside the foam.
    """
    sheets = sheets or RescueSheets()
    made = _board_of_job(job, sheets.board or folder / BOARD)
    rider_sheet = _rider_sheet(sheets.rider, folder)
    rider = None if rider_sheet is None else read_rider(rider_sheet)
    foam = foam_left(job.plan, job.as_is(job.store.entries()))
    rescue = Rescuer(made, job.bay.rescue).rescued(foam)
    water = None if rider is None else water_cost(rescue, rider, job.system)
    if not rescue.changes:
        return RescuedJob(rescue, foam, water, ())
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.job_files import going_on_files
    from foamwright.papers.tiling import Paper

    on = _cuts_on(job, rescue, AsIsBlank(foam, _blank_of_job(folder)))
    contents = _sheets(on, job.system) | GivenSheets(rider=rider_sheet).texts()
    contents |= {PLAN: json_bytes(on.as_json()), **going_on_files(on, Paper[paper.upper()], job.system)}
    target = out or folder / RESCUED
    _require_free(target, folder)
    refuse_own_sheets([target / BOARD], [sheets.board])
    write_folder_atomically(target, contents)
    return RescuedJob(rescue, foam, water, tuple(target / name for name in contents))


def _require_free(target: Path, folder: Path) -> None:
    """Raise where a job would be lost: this one, one under way, or any that no rescue wrote."""
    same = target.resolve() == folder.resolve()
    under_way = (target / HISTORY).is_file()
    foreign = target != folder / RESCUED and (target / PLAN).exists()
    if same or under_way or foreign:
        raise InputError(
            Problem(str(target), "A job lies there and would be lost.", "Write to another folder (--out).")
        )


def _board_of_job(job: BenchJob, sheet: Path) -> Board:
    if not sheet.exists():
        raise InputError(Problem(str(sheet), "There is no board sheet of this job.", "Name it with --board."))
    made = board_of(read_board(sheet))
    if abs(made.length - job.plan.length) > 1e-6:
        raise InputError(
            Problem(
                str(sheet), "It is not the board of this job: its length differs.", "Name the right sheet."
            )
        )
    return made


def _rider_sheet(given: Path | None, folder: Path) -> Path | None:
    own = folder / RIDER
    return given or (own if own.exists() else None)


def _blank_of_job(folder: Path) -> BlankNumbers:
    """Return the numbers of the blank; where nothing tells them, foam that is handled with most care."""
    sheet = folder / BLANK
    if sheet.is_file():
        return read_stock(sheet)[0]
    return BlankNumbers(
        id="the blank",
        foam=Foam(FoamFamily.PU, 0.0),
        section=Section.SQUARE,
        length=0.0,
        outline=(),
        wide=None,
        wide_at=None,
        rocker=(),
        thickness=(),
        dome=(),
        stringer=Stringer("", 0.0),
        price=0.0,
        currency="",
        on_hand=0,
        lead_time_days=0.0,
        hard_face=None,
        hard_most=math.inf,
        skim_bottom=0.0,
        skim_deck=0.0,
    )


def _cuts_on(job: BenchJob, rescue: Rescue, blank: AsIsBlank) -> Cuts:
    """Return the work that goes on from the foam as it is: its first stage is the as-is solid."""
    # The as-is solid is told above the old level line; the board is lifted in it.
    lay = Lay(0.0, rescue.shift.lift, rescue.shift.tilt)
    finish = min(job.bay.allowances.finish, max(0.0, rescue.spare) / 2.0)
    try:
        return build_cuts(rescue.board, cast(Blank, blank), job.bay, lay, finish, job.system)
    except FaultError as fault:
        raise NoAnswerError(
            f"The nearest board in what remains cannot be planned on from there. {fault} Measure deck and "
            "edges once more, or begin with another blank."
        ) from fault


def _sheets(cuts: Cuts, system: System) -> dict[str, bytes]:
    """Return the new board's sheet, the bay it is done in, and the blank it came from."""
    unit = unit_of(system)
    sheets = {
        BOARD: board_sheet(cuts.board.numbers, unit),
        BAY: bay_sheet(cuts.bay, unit),
    }
    if cuts.blank.numbers.length > 0.0:
        sheets[BLANK] = stock_sheet([cuts.blank.numbers], unit)
    return {name: text.encode() for name, text in sheets.items()}
