"""Groups of equal strokes, as a step tells them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from foamwright.cuts.passes import Passes
from foamwright.cuts.run import Stroke


@dataclass(frozen=True, slots=True)
class Group:
    """Equal strokes: how many, from where to where (metres from the tip, or from the tail), how.

    `end_m` is ``None`` where they run off the tip.
    """

    count: int
    start_m: float
    end_m: float | None
    chip_m: float
    skew_deg: float

    def as_json(self) -> dict[str, Any]:
        """Return the group as plain values."""
        return {
            "count": self.count,
            "start_m": self.start_m,
            "end_m": self.end_m,
            "chip_m": self.chip_m,
            "skew_deg": self.skew_deg,
        }


def run_group(one: Stroke) -> Group:
    """Return a stroke that runs off the tip."""
    return Group(1, one.start_from_tip, None, one.chip, 0.0)


def passes_group(one: Passes) -> Group:
    """Return passes between two places, counted from the tail."""
    return Group(one.count, one.begin, one.end, one.chip, 0.0)
