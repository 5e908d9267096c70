"""A plane of the tests' own: a planned run replayed from its document alone, in numpy, without any kernel.

`heel`: the sole rides on what is cut behind the iron and on what is not ahead of it. `full`: every stroke
takes its whole chip. `between`: every point of every stroke takes anything between the two, as some load or
pressure might make it. Written from docs/interface (``runs[]``) and docs/planing.md only.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

Array = NDArray[np.float64]


def replay(run: Mapping[str, Any], mechanics: str, seed: int = 0) -> Array:
    """The heights on ``x_m`` after all strokes of one entry of ``runs[]``."""
    x = np.asarray(run["x_m"])
    heights = np.array(run["before_m"])
    dice = np.random.default_rng(seed)
    for stroke in run["strokes"]:
        under = np.flatnonzero(x >= x[-1] - stroke["start_from_tip_m"] - 1e-9)
        deep = heights.copy()
        deep[under] -= stroke["chip_m"]
        if mechanics == "full":
            heights = deep
            continue
        worn = heel_stroke(x, heights, under, run["tool"], stroke["chip_m"])
        share = dice.uniform(size=x.size) if mechanics == "between" else np.zeros(x.size)
        heights = worn + share * (deep - worn)
    return heights


def heel_stroke(
    x: Array, heights: Array, under: NDArray[np.intp], tool: Mapping[str, float], chip: float
) -> Array:
    """One stroke: the highest chord from cut foam under the heel to uncut foam under the toe."""
    worn = heights.copy()
    ahead, behind = tool["mouth_m"], tool["sole_m"] - tool["mouth_m"]
    for i in under:
        heel, toe = max(x[i] - behind, x[0]), min(x[i] + ahead, x[-1])
        line = worn[i]
        if heel < x[i] < toe:
            back = np.concatenate([[heel], x[(x > heel) & (x < x[i])]])
            front = np.concatenate([x[(x > x[i]) & (x < toe)], [toe]])
            feet, tops = np.interp(back, x, worn), np.interp(front, x, worn)
            away = (x[i] - back)[:, None]
            chords = feet[:, None] + (tops - feet[:, None]) * away / (front - back[:, None])
            line = max(line, chords.max())
        worn[i] = min(worn[i], line - chip)
    return worn


def rigid_sole_stroke(heights: Array, first: int, sole: tuple[int, int], chip: float, load: float) -> Array:
    """One stroke of a rigid sole pressed down at `load` (-behind to ahead, in steps from the iron).

    At each place of the iron the sole is a line above everything under it, cut foam behind the iron and uncut
    ahead of it; among those the load settles on the one that is lowest where it acts (minimum of potential
    energy, a linear program). The iron stands one chip below the line and takes what is above it.
    """
    worn = heights.copy()
    for i in range(first, worn.size):
        under = np.arange(max(0, i - sole[0]), min(worn.size - 1, i + sole[1]) + 1)
        arm = (under - i).astype(float)
        # Unknown: height of the line at the iron, and its slope; kept from turning over where it hangs free.
        found = linprog(
            [1.0, min(max(load, arm[0]), arm[-1])],
            A_ub=np.column_stack([-np.ones(arm.size), -arm]),
            b_ub=-worn[under],
            bounds=[(None, None), (None, None)],
            method="highs",
        )
        assert found.status == 0, found.message
        worn[i] = min(worn[i], found.x[0] - chip)
    return worn
