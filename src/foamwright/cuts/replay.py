"""A run simulated again from its JSON alone, without the kernel: the proof that a plan holds what it says."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def replay(run: Mapping[str, Any]) -> Array:
    """Return the heights (metres, on ``x_m``) after all strokes of one entry of ``runs[]``.

    Nothing is used but the entry and numpy: the sole's supporting line is found by trying every pair of
    grid points under it, one behind the iron and one ahead of it.

    Examples
    --------
    >>> tool = {"sole_m": 0.2, "mouth_m": 0.05, "width_m": 0.05}
    >>> stroke = {"start_from_tip_m": 0.1, "count": 2, "chip_m": 0.001, "skew_deg": 0}
    >>> run = {"x_m": [0.0, 0.1, 0.2], "before_m": [0.0, 0.0, 0.0], "tool": tool, "strokes": [stroke]}
    >>> replay(run).tolist()
    [0.0, -0.002, -0.002]
    """
    x = np.asarray(run["x_m"], dtype=np.float64)
    heights = np.asarray(run["before_m"], dtype=np.float64).copy()
    for stroke in run["strokes"]:
        behind, ahead = _reaches(run["tool"], stroke["skew_deg"])
        for _ in range(stroke["count"]):
            line = _supporting_line(x, heights, behind, ahead)
            cut = np.minimum(heights, line - stroke["chip_m"])
            heights = np.where(x >= x[-1] - stroke["start_from_tip_m"] - 1e-9, cut, heights)
    return heights


def _reaches(tool: Mapping[str, float], skew_deg: float) -> tuple[float, float]:
    """Return how far the sole reaches behind and ahead of the iron, metres."""
    sole, mouth, angle = tool["sole_m"], tool["mouth_m"], radians(skew_deg)
    length = sole / cos(angle)
    if angle > 0.0:
        length = min(length, tool["width_m"] / sin(angle))
    return length * (sole - mouth) / sole, length * mouth / sole


def _supporting_line(x: Array, heights: Array, behind: float, ahead: float) -> Array:
    """Return the upper convex hull of the points under the sole, at the iron, for every place of the iron."""
    step = float(x[-1]) / (x.size - 1)
    back, forth = int(behind / step + 1e-7), int(ahead / step + 1e-7)
    line = heights.copy()
    if back == 0 or forth == 0:
        return line
    air = np.concatenate([np.full(back, -np.inf), heights, np.full(forth, -np.inf)])
    toes = np.lib.stride_tricks.sliding_window_view(air[back + 1 :], forth)
    reach = np.arange(1, forth + 1)
    for heel in range(1, back + 1):
        foot = air[back - heel : back - heel + x.size]
        chords = (foot[:, None] * reach + toes * heel) / (reach + heel)
        line = np.maximum(line, chords.max(axis=1))
    return line
