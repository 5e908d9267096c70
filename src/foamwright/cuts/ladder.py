"""A power planer's ladder: the same counting with another chip, stopping a pass above the line."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any

from foamwright.bay.bay import PowerPlaner
from foamwright.cuts.counting import Marks, walk
from foamwright.cuts.run import Run
from foamwright.units import INCH

LEAVES = INCH / 16
"""What a power planer leaves above the line for the hand planes. Common practice, no source."""

NEAREST = 2 * INCH
"""No pass starts nearer to a tip: there the machine has no bearing. Common practice, no source."""

ADVANCE = 0.75
"""Share of the cutter by which a strip lies beside the one before. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """The passes of one face towards one end: `starts` from the tip, of one `chip`, in strips side by side.

    `advance` is from strip to strip, metres; `strips` are those of a half at its widest.
    """

    stage: str
    face: str
    end: str
    chip: float
    starts: tuple[float, ...]
    advance: float
    strips: int

    def as_json(self) -> dict[str, Any]:
        """Return the ladder as plain values."""
        return {
            "stage": self.stage,
            "face": self.face,
            "end": self.end,
            "chip_m": self.chip,
            "leaves_m": LEAVES,
            "starts_from_tip_m": list(self.starts),
            "advance_m": self.advance,
            "strips_a_side": self.strips,
        }


def ladder_of(run: Run, planer: PowerPlaner, half_width: float, marks: Marks) -> Ladder:
    """Return the ladder of a run: never nearer to its line than `LEAVES`, whatever the sole does.

    Parameters
    ----------
    run
        The face as it is and as it shall be.
    planer
        Its cutter and chip.
    half_width
        Of the foam at its widest, metres.
    marks
        Where the tape has them.
    """
    strokes = walk(run.before - run.target - LEAVES, run.step, planer.chip, marks)
    advance = ADVANCE * planer.cutter
    starts = tuple(one.start_from_tip for one in strokes if one.start_from_tip >= NEAREST)
    return Ladder(
        run.stage, run.face.value, run.end.value, planer.chip, starts, advance, ceil(half_width / advance)
    )
