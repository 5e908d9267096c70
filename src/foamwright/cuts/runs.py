"""What a run-off must do, before it is planned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.blank.numbers import Face
from foamwright.cuts.run import End, frozen
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
