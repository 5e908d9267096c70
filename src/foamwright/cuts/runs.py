"""A run: one face worked towards one end by strokes that run off the tip; as asked and as planned."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End as End
from foamwright.cuts.run import frozen as frozen
from foamwright.errors import FaultError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class RunTarget:
    """What a run must do.

    Attributes
    ----------
    stage
        Name of the stage (``"rocker"``).
    face, end
        Face that is cut and the end the strokes run off.
    x
        Uniform grid, metres from the inboard end of the run (0) to the tip, shape (n,), n >= 3.
    before, target
        Heights on `x`, metres, measured outwards from the foam: as it stands, and as it shall be;
        ``before >= target``. The removal should not shrink towards the tip.
    """

    stage: str
    face: Face
    end: End
    x: Array
    before: Array
    target: Array

    def __post_init__(self) -> None:
        for name in ("x", "before", "target"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        self._require_sound()

    def _require_sound(self) -> None:
        if self.x.ndim != 1 or self.x.size < 3 or not self.x.shape == self.before.shape == self.target.shape:
            raise FaultError("A run needs three arrays of one length, at least 3 points.")
        steps = np.diff(self.x)
        if abs(self.x[0]) > 1e-12 or steps.min() <= 0.0 or np.ptp(steps) > 1e-6 * steps[0]:
            raise FaultError("A run's x must start at 0 and rise in equal steps towards the tip.")
        if not (np.isfinite(self.before).all() and np.isfinite(self.target).all()):
            raise FaultError("A run's heights must be finite.")
        if (self.before - self.target).min() < -1e-9:
            raise FaultError("A run's target stands above the face as it is: it would add foam.")

    @property
    def length(self) -> float:
        """Length of the run, metres."""
        return float(self.x[-1])

    @property
    def depth(self) -> Array:
        """What is to come off at each point, metres, >= 0."""
        return np.maximum(self.before - self.target, 0.0)


@dataclass(frozen=True, slots=True)
class Strokes:
    """`count` equal strokes: start (metres before the tip), chip (metres), skew (degrees)."""

    start_from_tip: float
    count: int
    chip: float
    skew_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Passes:
    """`count` equal passes of the iron from `begin` to `end` (metres along x), chip metres, skew degrees."""

    count: int
    chip: float
    begin: float
    end: float
    skew_deg: float = 0.0

    def as_json(self) -> dict[str, Any]:
        """Return the passes as plain values."""
        return {
            "count": self.count,
            "chip_m": self.chip,
            "from_x_m": self.begin,
            "to_x_m": self.end,
            "skew_deg": self.skew_deg,
        }


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop to measure.

    Attributes
    ----------
    after
        Number of groups made before the stop.
    left_at_tip
        Predicted height above the target at the tip then, metres.
    doubt
        How far that prediction may be out (twice the standard error), metres.
    least
        What the strokes up to the next stop take there, metres: with less left they would go too deep.
    """

    after: int
    left_at_tip: float
    doubt: float
    least: float


class Obstacle(StrEnum):
    """What keeps a plane that is held straight from the line."""

    STRAIGHT = "bridges unless turned"
    HOLLOW = "no flat plane reaches"
    TIP_FIRST = "the tip is done first"


@dataclass(frozen=True, slots=True)
class HollowRegion:
    """A stretch (metres from the inboard end) where the plane must be turned, or stays too high.

    Attributes
    ----------
    begin, end
        The stretch.
    obstacle
        Why: the sole bridges it unless turned; or no flat plane gets there at all; or strokes that run
        off finish the tip (where the toe hangs free and the full chip is cut) before this stretch is
        down, and strokes lifted before the tip must finish it.
    skew_deg
        Least skew that reaches; ``None`` for the other two.
    left
        Most that the run-offs leave above the target there, metres.
    """

    begin: float
    end: float
    obstacle: Obstacle
    skew_deg: float | None
    left: float


@dataclass(frozen=True, slots=True, eq=False)
class RunPlan:
    """A planned run: its strokes in the order they are made, and what they leave.

    Attributes
    ----------
    target
        What was asked.
    plane
        The plane that is used.
    tolerance
        How far above the target the list may end, metres.
    strokes
        Groups of equal strokes, in order.
    predicted
        Simulated heights after the last stroke, metres, on ``target.x``.
    left_at_tip
        Predicted height above the target at the tip after each group, metres.
    stops
        When to stop and measure.
    hollows
        Where the plane must be turned, and where no flat plane reaches.
    lifted
        Strokes lifted off before the tip, after the run-offs, for what those had to leave.
    finished
        Simulated heights after those, metres.
    """

    target: RunTarget
    plane: Plane
    tolerance: float
    strokes: tuple[Strokes, ...]
    predicted: Array
    left_at_tip: tuple[float, ...]
    stops: tuple[Stop, ...]
    hollows: tuple[HollowRegion, ...]
    lifted: tuple[Passes, ...]
    finished: Array

    @property
    def left(self) -> Array:
        """What is left above the target at each point, metres."""
        return self.predicted - self.target.target

    @property
    def stroke_count(self) -> int:
        """Strokes in all."""
        return sum(group.count for group in self.strokes)

    @property
    def fewest(self) -> int:
        """Strokes no plan could do without: greatest depth less the tolerance, over the coarsest chip."""
        depth = float(self.target.depth.max()) - self.tolerance
        return max(0, int(np.ceil(depth / max(self.plane.chips) - 1e-9)))

    @property
    def reached(self) -> bool:
        """Whether the run-offs end within the tolerance everywhere."""
        return bool(self.left.max() <= self.tolerance + 1e-9)

    @property
    def completed(self) -> bool:
        """Whether run-offs and lifted strokes together end within the tolerance everywhere."""
        return bool((self.finished - self.target.target).max() <= self.tolerance + 1e-9)

    def as_json(self) -> dict[str, object]:
        """Return the run as plain values, as docs/interface names them under ``runs[]``."""
        return {
            "stage": self.target.stage,
            "face": self.target.face.value,
            "end": self.target.end.value,
            "x_m": self.target.x.tolist(),
            "before_m": self.target.before.tolist(),
            "target_m": self.target.target.tolist(),
            "predicted_m": self.predicted.tolist(),
            "tool": {
                "name": self.plane.name,
                "sole_m": self.plane.sole,
                "mouth_m": self.plane.mouth,
                "width_m": self.plane.width,
                "iron_m": self.plane.iron,
            },
            "strokes": [_strokes_json(*pair) for pair in zip(self.strokes, self.left_at_tip, strict=True)],
            "tolerance_m": self.tolerance,
            "stops": [_stop_json(stop) for stop in self.stops],
            "hollows": [_hollow_json(region) for region in self.hollows],
            "lifted": [one.as_json() for one in self.lifted],
            "finished_m": self.finished.tolist(),
        }


def _strokes_json(group: Strokes, left: float) -> dict[str, object]:
    return {
        "start_from_tip_m": group.start_from_tip,
        "count": group.count,
        "chip_m": group.chip,
        "skew_deg": group.skew_deg,
        "left_at_tip_m": left,
    }


def _stop_json(stop: Stop) -> dict[str, object]:
    return {
        "after_groups": stop.after,
        "left_at_tip_m": stop.left_at_tip,
        "doubt_m": stop.doubt,
        "least_m": stop.least,
    }


def _hollow_json(region: HollowRegion) -> dict[str, object]:
    return {
        "from_x_m": region.begin,
        "to_x_m": region.end,
        "obstacle": region.obstacle.value,
        "skew_deg": region.skew_deg,
        "left_m": region.left,
    }
