"""What every bench command needs: a job's store, its bay, and where a tape finds its marks."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import read_bay
from foamwright.bench.as_is import Memory, Stretch, stretches
from foamwright.bench.belief import ChipFactor
from foamwright.bench.entries import Entry
from foamwright.bench.next_step import Bench
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.store import FolderStore, JobStore
from foamwright.jobs.job_sheets import BAY
from foamwright.stages.marks import rack_stations
from foamwright.stages.solids import StageName
from foamwright.units import System


@dataclass(frozen=True, eq=False)
class BenchJob:
    """A job at the bench.

    Attributes
    ----------
    store
        Where it lives.
    plan
        Its plan.
    bay
        Its workshop.
    system
        Inches or millimetres.
    chip
        What is known of the chip before the first stroke.
    memory
        What was worked out before.
    """

    store: JobStore
    plan: JobPlan
    bay: Bay
    system: System
    chip: ChipFactor = field(default_factory=ChipFactor)
    memory: Memory = field(default_factory=Memory)

    @property
    def stations(self) -> tuple[float, ...]:
        """Where a tape finds its marks, metres from the tail."""
        return tuple(station.x for station in rack_stations(self.plan.length, self.system))

    def as_is(self, entries: tuple[Entry, ...], judging: StageName | None = None) -> tuple[Stretch, ...]:
        """Return every part of the board as it is known; `judging`: the stage of a reading to be judged."""
        return stretches(self.plan, entries, self.bay, self.chip, judging, self.memory)

    def bench(self, entries: tuple[Entry, ...]) -> Bench:
        """Return the job as its history has it, for the next step."""
        return Bench(self.plan, entries, self.as_is(entries))


def open_job(folder: Path, bay: Path | None, system: System) -> BenchJob:
    """Open the job in a folder that ``foamwright plan`` wrote.

    Parameters
    ----------
    folder
        The job.
    bay
        Bay sheet; without one, ``bay.toml`` of the folder, and without that the usual bay.
    system
        Inches or millimetres.

    Raises
    ------
    InputError
        No job is there, or its plan or its bay sheet cannot stand.
    """
    store = FolderStore(folder)
    own = folder / BAY
    sheet = bay or (own if own.exists() else None)
    return BenchJob(store, store.plan(), Bay() if sheet is None else read_bay(sheet), system)
