"""Wings: steps in the outline before the tail, as a change to the plain outline of each side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.board.numbers import Wing
from foamwright.shape.curves import Floats
from foamwright.shape.fade import fade


@dataclass(frozen=True, eq=False)
class Wings:
    """What the wings of a board change of each half-width, metres."""

    wings: Sequence[Wing]

    @property
    def kinks(self) -> tuple[float, ...]:
        """Stations at which the change has a corner or begins."""
        return tuple(x for w in self.wings for x in (w.x - w.length, w.x, w.x + w.fade_forward))

    def __call__(self, x: Floats) -> Floats:
        """Return the change of the half-width at `x`."""
        return sum((_change(wing, np.asarray(x, float)) for wing in self.wings), np.zeros(np.shape(x)))

    def slope(self, x: Floats) -> Floats:
        """Return its slope at `x`."""
        return sum((_change_slope(wing, np.asarray(x, float)) for wing in self.wings), np.zeros(np.shape(x)))


def _change(wing: Wing, x: Floats) -> Floats:
    foot = wing.x - wing.length
    inside = fade((x - foot) / wing.length)
    ahead = np.clip(1.0 - (x - wing.x) / wing.fade_forward, 0.0, 1.0)
    aft = -wing.step * np.clip(x / foot, 0.0, 1.0)
    step = -wing.step * (1.0 - inside) + wing.flare * inside
    return np.where(x < foot, aft, np.where(x <= wing.x, step, wing.flare * ahead**2))


def _change_slope(wing: Wing, x: Floats) -> Floats:
    foot = wing.x - wing.length
    ahead = np.clip(1.0 - (x - wing.x) / wing.fade_forward, 0.0, 1.0)
    step = (wing.step + wing.flare) * fade((x - foot) / wing.length, 1) / wing.length
    fore = -2.0 * wing.flare * ahead / wing.fade_forward
    return np.where(x < foot, -wing.step / foot, np.where(x <= wing.x, step, fore))
