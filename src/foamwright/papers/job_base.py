"""What every page of a job sheet is drawn from: the plan, how lengths are said, the paper, a stage's cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.papers.job_page import Ground
from foamwright.papers.job_words import Figures
from foamwright.planning.plan import Cuts, Plan
from foamwright.shape.curves import Floats
from foamwright.stages.marks import StageMark
from foamwright.stages.solids import Stage, StageName


@dataclass(frozen=True, eq=False)
class Job:
    """What every page is drawn from; `bench` is the address of the job's bench in the app, empty without."""

    plan: Cuts
    figures: Figures
    ground: Ground
    bench: str = ""

    def marks(self, stage: StageName, face: Face | None) -> list[StageMark]:
        """Return the marks of one face of one stage, tail to nose."""
        return [m for m in self.plan.marks if m.stage is stage and m.face is face]

    @property
    def heads(self) -> tuple[tuple[str, str], ...]:
        """The stations' names in two lines each."""
        return tuple(self.figures.station(s) for s in self.plan.stations)

    @property
    def contour_marks(self) -> list[StageMark]:
        """The marks after the contours, tail to nose."""
        return self.marks(StageName.CONTOURS, Face.BOTTOM)

    def rise(self, x: Floats) -> Floats:
        """Return the board's level line above the blank's at stations, metres."""
        lay = self.plan.lay
        return np.asarray(lay.lift + lay.tilt * np.asarray(x))


@dataclass(frozen=True, eq=False)
class PlannedJob(Job):
    """A job with its choice of a blank: what the pages before the first step are drawn from."""

    plan: Plan


@dataclass(frozen=True, eq=False)
class Cut:
    """What a stage takes: the solids before and after, and the faces that are cut."""

    before: Stage
    after: Stage
    faces: tuple[Face, ...]

    @property
    def lies(self) -> int:
        """1 where the board lies deck up, -1 where it lies bottom up."""
        return 1 if self.faces == (Face.DECK,) else -1


def cut_of(job: Job, name: StageName, faces: tuple[Face, ...]) -> Cut:
    """Return what one stage cuts."""
    names = list(StageName)
    chain = job.plan.chain
    return Cut(chain.stage(names[names.index(name) - 1]), chain.stage(name), faces)
