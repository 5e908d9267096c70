"""A simulated shaper: hands, tools and eyes that err, working on foam that nobody sees the truth of.

The foam is cut by the planes of `foamwright.shape.kernels.planing` on a grid twice as fine as what is known
of it; the loop sees only what this shaper reads.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Habits, Plane
from foamwright.bench.belief import BLOCK, Made, read_error, run_line
from foamwright.bench.readings import SHIMS, Lay, Tool, Zone
from foamwright.cuts.run import Run
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.face_trial import bridging_stroke
from foamwright.shape.kernels.planing import full_stroke, heel_stroke
from foamwright.units import INCH

TRUE_GRID = INCH / 4
"""Spacing of the places of the foam that is cut, and of those that are judged at the end."""

LEAST_FACTOR = 0.2
"""No shaper takes less than this share of the chip set."""

LEAST_FEELING = 5e-5
"""Standard error of feeling whether a shim goes under, metres. Common practice, no source."""

SHIM_MARK = INCH / 2
"""Zones of a shim are marked to the half inch."""


class Mechanics(StrEnum):
    """How a sole rides: what nobody can be sure of."""

    HEEL = "heel"
    FULL = "full"
    BEFORE = "before"


@dataclass(frozen=True, slots=True)
class Errors:
    """Standard deviations of what goes wrong; metres and shares.

    Attributes
    ----------
    common, each
        Of the chip for the whole job, and from stroke to stroke.
    bias
        What every shaper's chip is off the same way.
    start
        Of where a stroke starts and where it is lifted; the sanding block's is half of it.
    gauge, step
        Standard error of the gauge, and the mark it is read to.
    zero, bow, off
        For the whole job: of a gauge's zero, a stick's bow, and of what every gap under it is read too wide.
    bend
        Of a straight edge's far end, for the whole job: with any, heights are read from it and not with
        calipers. It bends as a loaded strip does, with the square of the distance from where it rests.
    face
        Of the face that a run starts from, smooth along it.
    told
        Whether the bench is told of that.
    known
        Whether the bay sheet says how evenly this shaper works (``[hands]``); else it has the usual hands.
    missed
        Share of strokes counted but not made.
    proud
        Share of foam-downs that leave the foam standing: the plane's body rides on it, and until the next
        one strokes take half of their chip (`ON_FOAM`).
    mechanics
        How the sole rides.
    """

    common: float = 0.3
    each: float = 0.3
    bias: float = 0.0
    start: float = INCH / 2
    gauge: float = INCH / 128
    step: float = INCH / 64
    zero: float = 0.0
    bow: float = 0.0
    off: float = 0.0
    bend: float = 0.0
    face: float = 0.0
    told: bool = True
    known: bool = False
    missed: float = 0.0
    proud: float = 0.0
    mechanics: Mechanics = Mechanics.HEEL

    @property
    def reading(self) -> float:
        """Standard error of one reading, as the bench takes it: the gauge's and its mark's, metres."""
        return read_error(self.gauge, self.step)

    @property
    def habits(self) -> Habits:
        """How evenly the bench takes strokes to be made."""
        return Habits(self.start, self.each) if self.known else Habits()

    @property
    def tool(self) -> Tool:
        """What heights are read with."""
        return Tool.STRAIGHT_EDGE if self.bend > 0.0 else Tool.CALIPERS


PRESETS = {
    "usual": Errors(),
    "steadier": Errors(each=0.15, start=INCH / 8, known=True),
    "mild": Errors(common=0.2, each=0.2, start=INCH / 4, face=4e-4, bow=1.5e-4, off=1.5e-4),
}
"""Shapers by name: the usual one; a steadier hand that marks its starts; everything mildly bad."""

ON_FOAM = 0.5
"""Share of its chip that a plane takes whose body rides on foam left proud. Common practice, no source."""


@dataclass(frozen=True, eq=False)
class Shaper:
    """One shaper with the chip that is his, the tools that are his, and his luck."""

    errors: Errors
    factor: float
    zero: float
    bow: float
    off: float
    bend: float
    luck: np.random.Generator

    def chip(self, chip: float) -> float:
        """Return what a stroke takes that was set to `chip`; 0 for one that is missed."""
        if self.errors.missed > 0.0 and self.luck.random() < self.errors.missed:
            return 0.0
        return max(0.0, chip * self.factor * (1.0 + self.errors.each * self.luck.standard_normal()))


def shaper_of(errors: Errors, key: tuple[int, int]) -> Shaper:
    """Return one shaper: `key` is the seed and the shaper's number."""
    luck = np.random.Generator(np.random.Philox(key=np.array(key, dtype=np.uint64)))
    factor = max(LEAST_FACTOR, 1.0 + errors.bias + errors.common * float(luck.standard_normal()))
    zero, bow = (float(luck.standard_normal()) * one for one in (errors.zero, errors.bow))
    # Drawn only where it is asked for: so other shapers keep their luck.
    off, bend = (
        one * float(luck.standard_normal()) if one > 0.0 else 0.0 for one in (errors.off, errors.bend)
    )
    return Shaper(errors, factor, zero, bow, off, bend, luck)


class Foam:
    """The face of one run as it is, worn down by strokes; (n,) heights from the inboard end to the tip."""

    def __init__(self, run: Run, shaper: Shaper) -> None:
        left, line = run_line(run, TRUE_GRID)
        # The bench follows whole half inches from the tip. What is short of one more, where the run meets the
        # one to the other tip, is nobody's.
        followed = 2 * ((left.size - 1) // 2) + 1
        left, line = left[:followed], line[:followed]
        self.line = np.ascontiguousarray(line[::-1])
        self.shaper, self.plane = shaper, run.plane
        self.height = self.line + left[::-1] + self._start_error(left.size)
        self.start, self.proud = self.height.copy(), False

    def _start_error(self, count: int) -> Floats:
        """Return how far the face is from where it was thought to be: three long waves."""
        if self.shaper.errors.face == 0.0:
            return np.zeros(count)
        at = np.linspace(0.0, 1.0, count)
        waves = self.shaper.luck.standard_normal(3) * self.shaper.errors.face / np.sqrt(2.0)
        return np.asarray(waves[0] + waves[1] * np.cos(np.pi * at) + waves[2] * np.cos(2.0 * np.pi * at))

    @property
    def left(self) -> Floats:
        """What is left above the target from the tip inboard, metres."""
        return (self.height - self.line)[::-1]

    @property
    def cut(self) -> NDArray[np.bool_]:
        """Whether anything was taken at each place, from the tip inboard."""
        return (self.height < self.start)[::-1]

    def stroke(self, made: Made) -> None:
        """Make a stroke as well as this shaper can."""
        errors, luck = self.shaper.errors, self.shaper.luck
        spread = errors.start / 2.0 if made.rubbed else errors.start
        start = made.start + spread * float(luck.standard_normal())
        end = None if made.end is None else made.end + spread * float(luck.standard_normal())
        chip = self.shaper.chip(made.chip) * (ON_FOAM if self.proud and not made.rubbed else 1.0)
        if chip <= 0.0 or start < 0.0:
            return
        tip = self.height.size - 1
        first = int(np.ceil(tip - start / TRUE_GRID))
        last = tip + 1 if end is None or end < 0.0 else int(np.floor(tip - end / TRUE_GRID)) + 1
        sole = sole_of(BLOCK if made.rubbed else self.plane)
        match errors.mechanics:
            case Mechanics.HEEL:
                heel_stroke(self.height, first, last, sole, chip)
            case Mechanics.FULL:
                full_stroke(self.height, first, last, chip)
            case Mechanics.BEFORE:
                bridging_stroke(self.height, first, last, sole, chip)

    def foam_down(self) -> None:
        """Bring the foam down beside the stringer as well as this shaper can."""
        errors = self.shaper.errors
        self.proud = errors.proud > 0.0 and bool(self.shaper.luck.random() < errors.proud)

    def gauge(self, from_tip: float) -> float:
        """Return what a gauge, or the straight edge, says is left at a distance from the tip, metres."""
        errors, luck = self.shaper.errors, self.shaper.luck
        k = min(from_tip / TRUE_GRID, self.height.size - 1.0)
        true = float(np.interp(k, np.arange(self.height.size), self.left))
        bent = self.shaper.bend * (1.0 - from_tip / (TRUE_GRID * (self.height.size - 1.0))) ** 2
        value = true + self.shaper.zero + bent + errors.gauge * float(luck.standard_normal())
        return round(value / errors.step) * errors.step

    def stick(self) -> Lay:
        """Return what a stick tells that is laid on the face, shimmed."""
        left = self.left
        count = left.size
        part = np.arange(count) / (count - 1.0)
        seen = left - self.shaper.bow * 4.0 * part * (1.0 - part)
        outboard, inboard = _bearings(seen)
        rise = (seen[inboard] - seen[outboard]) / (inboard - outboard)
        gap = seen[outboard] + rise * (np.arange(count) - outboard) - seen
        gap = gap + self.shaper.off + LEAST_FEELING * self.shaper.luck.standard_normal(count)
        zones = [zone for shim in SHIMS for zone in self._zones(gap, shim)]
        return Lay((outboard * TRUE_GRID, inboard * TRUE_GRID), tuple(zones))

    def _zones(self, gap: Floats, shim: float) -> list[Zone]:
        """Return where a shim goes under, each end marked off as well as the hand feels it."""
        under = np.concatenate([[False], gap > shim, [False]])
        marks = np.flatnonzero(under[1:] != under[:-1])
        found = []
        for begin, stop in zip(marks[::2], marks[1::2], strict=True):
            ends = np.array([begin, stop - 1]) * TRUE_GRID
            wide = SHIM_MARK / 2.0 * self.shaper.luck.standard_normal(2)
            first, last = np.round((ends + wide) / SHIM_MARK) * SHIM_MARK
            # A zone that reaches the stick's end has no edge there.
            first = 0.0 if begin == 0 else first
            last = ends[1] if stop == gap.size else last
            if last >= first:
                found.append(Zone(max(0.0, float(first)), max(0.0, float(last)), shim))
        return found


def sole_of(plane: Plane) -> tuple[float, float]:
    """Return how far a sole reaches behind the iron and ahead of it, steps of the true grid."""
    return max(1.0, (plane.sole - plane.mouth) / TRUE_GRID), max(1.0, plane.mouth / TRUE_GRID)


def _bearings(left: Floats) -> tuple[int, int]:
    """Return the two places on which a rigid stick rests whose weight is in its middle."""
    middle = left.size // 2
    near, far = np.arange(middle + 1), np.arange(middle + 1, left.size)
    share = (middle - near)[None, :] / (far[:, None] - near[None, :])
    at = left[far][:, None] * share + left[near][None, :] * (1.0 - share)
    a, b = np.unravel_index(int(np.argmax(at)), at.shape)
    return int(near[b]), int(far[a])
