"""The plan of a job as one value, and as the document that others can re-prove it from."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.blank import Blank
from foamwright.blank.numbers import Face, FoamFamily
from foamwright.board.board import Board
from foamwright.cautions import Caution
from foamwright.cuts.foam import FoamWork
from foamwright.cuts.grain import PlaningDirections
from foamwright.cuts.ladder import Ladder
from foamwright.cuts.passes import PassPlan
from foamwright.cuts.run import Run
from foamwright.cuts.scoop import Scoop
from foamwright.cuts.stage_rails import StationBands
from foamwright.findings import Finding
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay
from foamwright.planning.ends import ends_of
from foamwright.stages.marks import RackStation, StageMark
from foamwright.stages.solids import Chain, Stage

FORMAT = "foamwright plan 2"
"""Names the document's form; a later form gets a later number."""

FRAMES = {
    "board": "x from the tail tip along the level line to the nose, y to the left, z up from the level line",
    "blank": "x from the blank's tail, y to the left, z up from the blank's level line; a place of the board "
    "lies at x = slide_m + x, z = lift_m + tilt_rad * x + z",
    "stages": "x_m, bottom_m and deck_m are the board's x and z at the middle of the stringer",
    "runs": "x_m from the inboard end of the run towards the tip; from_tip_m from the tip inwards; heights "
    "outwards from the foam",
}
"""Where the document's numbers are counted from."""


@dataclass(frozen=True, eq=False)
class Cuts:
    """How a board comes out of a blank, or out of what is left of one: stages, marks, strokes.

    Attributes
    ----------
    board, blank, bay
        What is wanted, what it is cut from, where.
    lay
        Where the board lies in the blank.
    chain
        The nested stages.
    stations, marks
        Where a tape finds its marks, and what it reads at each stage.
    passes
        Passes to thickness, by face.
    runs
        Four run-offs: rocker to nose and tail, foil to nose and tail.
    bands
        Rail bands at the stations.
    scoop
        Depth marks of the contours.
    grain, foam
        Which way to plane each face, and the foam to bring down beside its stringer.
    ladders
        Passes of the power planer, one for each run; none where the bay has no power planer.
    """

    board: Board
    blank: Blank
    bay: Bay
    lay: Lay
    chain: Chain
    stations: tuple[RackStation, ...]
    marks: tuple[StageMark, ...]
    passes: Mapping[Face, PassPlan]
    runs: tuple[Run, ...]
    bands: tuple[StationBands, ...]
    scoop: Scoop
    grain: Mapping[Face, PlaningDirections]
    foam: Mapping[Face, FoamWork]
    ladders: tuple[Ladder, ...]

    @property
    def polyurethane(self) -> bool:
        """Whether the foam is polyurethane."""
        return self.blank.numbers.foam.family is FoamFamily.PU

    def as_json(self) -> dict[str, object]:
        """Return it as plain values, keys as in docs/interface."""
        return {
            "format": FORMAT,
            "board": self.board.name,
            "length_m": self.board.length,
            "blank": self.blank.id,
            "frames": FRAMES,
            "lay": {"slide_m": self.lay.slide, "lift_m": self.lay.lift, "tilt_rad": self.lay.tilt},
            "stages": [_stage_json(stage) for stage in self.chain.stages],
            "marks": [mark.as_json() for mark in self.marks],
            "passes": [
                {"stage": "thickness", "face": face.value, **passes.as_json()}
                for face, passes in self.passes.items()
            ],
            "runs": [run.as_json() for run in self.runs],
            "bands": [station.as_json() for station in self.bands],
            "scoop": self.scoop.as_json(),
            "grain": [directions.as_json() for directions in self.grain.values()],
            "foam": [{"face": face.value, **work.as_json()} for face, work in self.foam.items()],
            "ladders": [ladder.as_json() for ladder in self.ladders],
            "ends": ends_of(self.board),
            "allowances": {
                "saw_m": self.bay.allowances.saw,
                "finish_m": self.chain.finish,
                "run_off_m": self.bay.allowances.run_off,
            },
        }


@dataclass(frozen=True, eq=False)
class Plan(Cuts):
    """Everything that is known before the first stroke.

    Attributes
    ----------
    choice
        The blank's best lay with its work, foam off and rates.
    others
        The rest of the stock, in the survey's order: the choice explained.
    findings
        What the shaper should know: of the board, of the lay, of the cuts.
    cautions
        What can hurt.
    date
        The day that it is of, as its maker says; `None`: nobody said, and the clock is never asked.
    """

    choice: Choice
    others: tuple[Choice, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]
    date: datetime.date | None = None

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return (
            f"<Plan of {self.board.name!r} from blank {self.blank.id!r}, {self.choice.work_min:.0f} minutes>"
        )

    def as_json(self) -> dict[str, object]:
        """Return the plan as plain values, keys as in docs/interface."""
        return {
            **super().as_json(),
            "date": None if self.date is None else self.date.isoformat(),
            "work_min": self.choice.work_min,
            "work": self._work_json(),
            "work_by_doing_min": {doing.value: spent for doing, spent in self.choice.by_doing.items()},
            "apart_min": self.choice.apart_min,
            "findings": [finding.as_json() for finding in self.findings],
            "cautions": [caution.as_json() for caution in self.cautions],
        }

    def _work_json(self) -> dict[str, object]:
        """Return what the minutes come from, on the stages' stations: enough to integrate them again."""
        choice, x = self.choice, self.chain.stages[0].x
        return {
            "bottom_min_m2": np.interp(x, choice.board.x, choice.rates.bottom),
            "deck_min_m2": np.interp(x, choice.board.x, choice.rates.deck),
            "rails_min": choice.parts.rails,
            "steady_min": choice.parts.steady,
        }


def _stage_json(stage: Stage) -> dict[str, object]:
    return {
        "name": stage.name.value,
        "x_m": stage.x,
        "bottom_m": stage.bottom,
        "deck_m": stage.deck,
        "half_width_m": stage.half_width,
    }
