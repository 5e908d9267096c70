"""Rescuing a job: the nearest board in the foam that remains, its sheet, and the plan from there on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from foamwright.bay.sheet import bay_sheet
from foamwright.bench.foam_left import AsIsBlank, FoamLeft, foam_left
from foamwright.bench.plan_file import FORM
from foamwright.bench.rescue import Rescue, Rescuer
from foamwright.bench.store import HISTORY
from foamwright.blank.blank import Blank
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.board.sheet_writing import board_sheet
from foamwright.cuts.stage_runs import plan_runs
from foamwright.documents import json_bytes
from foamwright.errors import InputError, Problem
from foamwright.files import write_folder_atomically
from foamwright.jobs.bench_job import BenchJob
from foamwright.jobs.job_sheets import BAY, BOARD, PLAN, RIDER, GivenSheets, refuse_own_sheets
from foamwright.jobs.reading import unit_of
from foamwright.jobs.rescue_water import WaterCost, water_cost
from foamwright.lay.limits import Lay
from foamwright.sheets.rider import read_rider
from foamwright.stages.marks import marks_of, rack_stations
from foamwright.stages.solids import Chain, Stage, chain_of

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


def rescue_job(
    job: BenchJob, folder: Path, sheets: RescueSheets | None = None, out: Path | None = None
) -> RescuedJob:
    """Return the nearest board inside the remaining foam; write its sheet and the plan that goes on.

    Parameters
    ----------
    job, folder
        The job and the folder it lives in.
    sheets
        Board and rider where they are not ``board.toml`` and ``rider.toml`` of the folder.
    out
        Where the new sheet and plan go; ``None``: ``rescued`` in the folder. Where nothing has to change,
        nothing is written.

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
    contents = _contents(job, rescue, foam) | GivenSheets(rider=rider_sheet).texts()
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


def _contents(job: BenchJob, rescue: Rescue, foam: FoamLeft) -> dict[str, bytes]:
    """Return the new board sheet and the plan that goes on, with the bay that it is done in."""
    return {
        BOARD: board_sheet(rescue.board.numbers, unit_of(job.system)).encode(),
        PLAN: json_bytes(_plan_on(job, rescue, foam)),
        BAY: bay_sheet(job.bay, unit_of(job.system)).encode(),
    }


def _plan_on(job: BenchJob, rescue: Rescue, foam: FoamLeft) -> Mapping[str, object]:
    """Return the plan that goes on from the foam as it is: its first stage is the as-is solid."""
    # The as-is solid is told above the old level line; the board is lifted in it.
    lay = Lay(0.0, rescue.shift.lift, rescue.shift.tilt)
    finish = min(job.bay.allowances.finish, max(0.0, rescue.spare) / 2.0)
    blank = cast(Blank, AsIsBlank(foam))
    chain = chain_of(rescue.board, blank, lay, finish)
    stations = rack_stations(rescue.board.length, job.system)
    return {
        "format": FORM,
        "board": rescue.board.name,
        "length_m": rescue.board.length,
        "blank": "as it is",
        "lay": {"slide_m": 0.0, "lift_m": lay.lift, "tilt_rad": lay.tilt},
        "stages": [_stage(stage) for stage in chain.stages],
        "marks": [mark.as_json() for mark in marks_of(chain, rescue.board, lay, stations)],
        "runs": [run.as_json() for run in plan_runs(chain, job.bay)],
        "allowances": _allowances(job, chain),
    }


def _allowances(job: BenchJob, chain: Chain) -> dict[str, float]:
    bay = job.bay.allowances
    return {"saw_m": bay.saw, "finish_m": chain.finish, "run_off_m": bay.run_off}


def _stage(stage: Stage) -> dict[str, object]:
    return {
        "name": stage.name.value,
        "x_m": stage.x,
        "bottom_m": stage.bottom,
        "deck_m": stage.deck,
        "half_width_m": stage.half_width,
    }
