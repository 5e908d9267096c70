"""Tries lists of strokes for one run: stairs under the depth, simulated, and made finer where needed."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane, Tape
from foamwright.cuts.reach import Reach
from foamwright.cuts.runs import RunTarget, Strokes
from foamwright.cuts.simulation import Edge, Workpiece
from foamwright.cuts.sole import turned
from foamwright.cuts.stops import ChipDoubt
from foamwright.cuts.walks import Layout, Marks, Unit, grouped, inboard, rising, units_for
from foamwright.units import INCH

Array = NDArray[np.float64]
Index = NDArray[np.int64]

CLEAR_OF_TIP = 3.0 * INCH
"""Where the first run-off starts before the tip. Common practice, no source."""

COARSE_MARK = INCH / 4
"""Step of the marks for starts where the run is not steep. Common practice, no source."""

GROUPS = (6, 4, 3, 2, 1)
"""Sizes of groups that are tried: how many coarse strokes from one mark."""

REFINEMENTS = 10
"""How often the stairs of one group size are made finer where the face stands too high."""

PATIENCE = 6
"""After how many refinements without gain a size of groups is given up."""

HOPELESS = 0.5
"""Excess, as a share of the tolerance, at which a run whose tip is done first will not fit with another
size of groups either, once two were tried."""

WIDENING = 0.5 * INCH
"""How far on either side of a place that stands too high the stairs are made finer."""


@dataclass(frozen=True, slots=True)
class RunSettings:
    """How a run is planned.

    Attributes
    ----------
    tolerance
        How far above the target the list may end, metres.
    doubt
        Of the chips.
    clear
        Where the first stroke starts before the tip, metres.
    """

    tolerance: float = INCH / 32
    doubt: ChipDoubt = field(default_factory=ChipDoubt)
    clear: float = CLEAR_OF_TIP


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """One list of strokes and the cautious heights it leaves."""

    strokes: tuple[Strokes, ...]
    heights: Array
    excess: float
    skew_deg: float

    @property
    def cost(self) -> int:
        """Strokes and moves to another mark or setting: what a person does."""
        return sum(group.count for group in self.strokes) + len(self.strokes)

    @property
    def rank(self) -> tuple[float, int]:
        """Order of preference: least excess over the tolerance, and among those without, least cost."""
        return max(self.excess, 0.0), self.cost


class Trials:
    """Tries lists of strokes for one run."""

    def __init__(
        self, target: RunTarget, plane: Plane, ways: tuple[Tape, RunSettings], reach: Reach, skew_deg: float
    ) -> None:
        tape, self.settings = ways
        self.target = target
        self.work = Workpiece(target.x, plane, Edge.SLIPS)
        self.chips = tuple(sorted(plane.chips, reverse=True))
        fine = INCH / tape.fraction
        self.layout = Layout(self.work, Marks(max(COARSE_MARK, fine), fine))
        self.skew = skew_deg
        self.yields = self._yields()
        self.tip_ramp = self._tip_ramp(turned(plane, skew_deg).ahead)
        self.floor = target.target - 1e-12
        self.must = reach.lowest - target.target <= self.settings.tolerance / 2

    @cached_property
    def tip_first(self) -> bool:
        """Whether strokes that run off are likely to finish the tip before the inboard part."""
        return self.shortfall() > 1e-12

    def shortfall(self) -> float:
        """Return how far above the tolerance the tip's depth leaves the inboard part, metres, about.

        In a hollow the iron takes less than a chip, but a full one at the tip, where the toe hangs free:
        the tip may be done first.
        """
        depth = self.target.depth
        share = self.yields[self.chips[0]]
        needed = np.maximum(depth - self.settings.tolerance, 0.0) / share
        short = (needed - rising(depth / share)) * share
        return float(short[self.must].max()) if self.must.any() else 0.0

    def _yields(self) -> dict[float, Array]:
        """Return for each chip the share of it that a stroke takes near the target at each point.

        In a hollow the sole bridges and takes less; the gaps before and after bound it, and the larger
        share is used, so that stairs laid out with it go too deep nowhere.
        """
        before = self.work.gap(self.target.before, self.skew)
        after = self.work.gap(self.target.target, self.skew)
        gap = np.minimum(before, after)
        return {chip: np.clip((chip - gap) / chip, 0.05, 1.0) for chip in self.chips}

    def _tip_ramp(self, ahead: float) -> Array:
        """Return a rise from 0 to 1 over the last two toe lengths.

        Close to the tip the toe hangs in the air, the sole no longer bridges the steps, and every stroke
        takes its full chip: all walks but the last hold something back there, or the tip would be done
        while the rest still stands proud.
        """
        reach = 2.0 * ahead
        return np.clip((self.work.x - (self.work.length - reach)) / reach, 0.0, 1.0)

    def best(self) -> Trial:
        """Return the cheapest trial that ends within tolerance, or else the one that comes closest."""
        best: Trial | None = None
        for clear in (self.settings.clear, 0.0):
            for number, group in enumerate(GROUPS):
                best = self._refined(group, clear, best)
                if number > 0 and self._hopeless(best.excess):
                    return best
                if self.tip_first and best.excess <= 0.0:
                    return best
            if best is not None and best.excess <= 0.0:
                break
        assert best is not None
        return best

    def _hopeless(self, excess: float) -> bool:
        return self.tip_first and excess > HOPELESS * self.settings.tolerance

    def _refined(self, group: int, clear: float, rival: Trial | None) -> Trial:
        """Return the better of `rival` and the best trial with one size of groups, refined where needed."""
        units = units_for(self.chips, group, self.layout.marks)
        level = np.zeros(self.work.x.size, dtype=np.int64)
        best, least, idle = rival, np.inf, 0
        for _ in range(REFINEMENTS + 1):
            trial = self._trial(units, level, clear)
            best = trial if best is None or trial.rank < best.rank else best
            idle = idle + 1 if trial.excess >= least else 0
            least = min(least, trial.excess)
            beaten = best.excess <= 0.0 and trial.cost >= best.cost
            weary = idle >= (2 if self._hopeless(least) else PATIENCE)
            if beaten or weary or not self._refine(level, trial.heights, len(units) - 1):
                break
        assert best is not None
        return best

    def _refine(self, level: Index, heights: Array, finest: int) -> bool:
        """Make `level` finer around every place that stands too high; return whether anything changed."""
        high = self.must & (heights - self.target.target > self.settings.tolerance)
        spread = int(WIDENING / self.work.step)
        wide = np.convolve(high, np.ones(2 * spread + 1), "same") > 0.0
        change = wide & (level < finest)
        level[change] += 1
        return bool(change.any())

    def _trial(self, units: tuple[Unit, ...], level: Index, clear: float) -> Trial:
        """Return the strokes of one layout of stairs with its finishing walks, simulated."""
        strokes, heights = self._walk(self.target.before, (units, level), clear)
        if clear > 0.0:
            singles = units[-len(self.chips) :]
            finer = np.maximum(level - (len(units) - len(singles)), 0)
            fresh, heights = self._walk(heights, (singles, finer), 0.0)
            strokes += fresh
        for number, chip in enumerate(self.chips):
            last = number == len(self.chips) - 1
            hold = np.zeros_like(heights) if last else chip * self.tip_ramp
            while made := self._finishing(heights, hold, chip):
                fresh, heights = self.work.guarded(heights, made, self.floor)
                strokes += fresh
                if not fresh:
                    break
        return Trial(grouped(strokes), heights, self._excess(heights), self.skew)

    def _walk(
        self, heights: Array, ladder: tuple[tuple[Unit, ...], Index], clear: float
    ) -> tuple[list[Strokes], Array]:
        """Make one walk inboard from `clear` metres before the tip; return its strokes and the heights."""
        units, level = ladder
        room = self._room(heights, units[0].depth * self.tip_ramp, units[0].chip)
        steps = [step for step in self.layout.stairs(room, units, level) if step[0] >= clear - 1e-9]
        if clear > 0.0:
            steps += self.layout.filling(room, steps, clear, units[0].chip)
        made = inboard(steps, self.skew)
        return self.work.guarded(heights, made, self.floor)

    def _finishing(self, heights: Array, hold: Array, chip: float) -> list[Strokes]:
        """Return a walk of single strokes of one chip into what is left."""
        if not (self.must & (heights - self.target.target > self.settings.tolerance)).any() and hold.any():
            return []
        room = self._room(heights, hold, chip)
        return inboard(self.layout.single_steps(room, chip, self.settings.tolerance / 8), self.skew)

    def _room(self, heights: Array, hold: Array, chip: float) -> Array:
        """Return the depth that strokes may take, as if the plane cut its full chip everywhere."""
        left = np.maximum(heights - self.target.target - hold, 0.0)
        return rising(left / self.yields[chip])

    def _excess(self, heights: Array) -> float:
        """Return how far the face stands above the tolerance where the plane can reach, metres, or <= 0."""
        high = heights - self.target.target - self.settings.tolerance
        return float(high[self.must].max()) if self.must.any() else 0.0
