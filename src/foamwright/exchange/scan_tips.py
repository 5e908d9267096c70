"""Where a scanned board ends: by the upright wall that stands at every end, at half height.

Halfway between bottom and deck a board has no surface but its rail, and the wall of its ends. Near a tip
those points show the end's own plan: flat for a block, a parabola for a round tip, a wedge for a pointed
one, two walls running in for a notch.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from foamwright.exchange.scan_lines import Lines, extent_of
from foamwright.exchange.scan_sections import Section
from foamwright.shape.curves import Floats

HALFWAY = (0.25, 0.75)
"""Heights, as shares of the thickness, between which a point belongs to a wall or a rail."""

BLOCK_HALF = 0.02
"""Metres: an end that is narrower on either side is no block."""

BULGE = 0.0012
"""Metres by which a flat end may seem to bulge; a round tip bulges by more over the same width."""

NOTCH = 0.015
"""Metres: a shorter notch is noise."""

TIP_DEPTH, TIP_HALF = 0.03, 0.022
"""Metres from a tip, and to either side of the stringer, that are looked at where it is no block."""

FACE_AT = 0.009
"""Metres in from the end at which a block's width is taken."""

FEWEST = 10


class End(Enum):
    """How a board ends."""

    POINT = "point"
    BLOCK = "block"
    NOTCH = "notch"


@dataclass(frozen=True, slots=True)
class Tip:
    """An end of a board: its kind, its station in the frame, and the depth of its notch (metres)."""

    kind: End
    x: float
    depth: float = 0.0


@dataclass(frozen=True, eq=False)
class Wall:
    """Points at half height near an end, metres: how far in from it, how far from the stringer."""

    inward: Floats
    away: Floats


def wall_of(points: Floats, lines: Lines, towards: float, depth: float) -> tuple[Wall, float]:
    """Return the points at half height within `depth` of an end, and where the scan ends there.

    `towards` is -1 for the tail, 1 for the nose.
    """
    low, high = extent_of(points)
    end = low if towards < 0.0 else high
    near = points[np.abs(points[:, 0] - end) < depth]
    bottom, deck = lines.bottom(near[:, 0]), lines.deck(near[:, 0])
    share = (near[:, 2] - bottom) / np.maximum(deck - bottom, 1e-4)
    halfway = (share > HALFWAY[0]) & (share < HALFWAY[1])
    return Wall(towards * (end - near[halfway, 0]), np.abs(near[halfway, 1])), end


def tail_of(points: Floats, lines: Lines, sections: list[Section]) -> Tip:
    """Return the tail's end.

    Parameters
    ----------
    points
        (N, 3) the scan in its frame, tail at low x.
    lines
        Its stringer lines.
    sections
        Its sections near the tail, outermost first.
    """
    low, _ = extent_of(points)
    wide = min(sections, key=lambda s: abs(s.x - low - FACE_AT)).half_width
    notched = _notched(points, lines, sections)
    if notched is not None:
        return notched
    wall, end = wall_of(points, lines, -1.0, TIP_DEPTH)
    flat = _flat_end(wall, wide)
    if flat is not None:
        return Tip(End.BLOCK, end + flat)
    return Tip(End.POINT, tip_at(points, lines, sections, -1.0))


def tip_at(points: Floats, lines: Lines, sections: list[Section], towards: float) -> float:
    """Return the station of a tip without a block, towards -x or +x; `sections` are those near it.

    The wall's plan is ``a + b |y| + c y^2``: b is for wedges, and counts only where it shows.
    """
    wall, end = wall_of(points, lines, towards, TIP_DEPTH)
    near = wall.away < TIP_HALF
    if np.count_nonzero(near) < FEWEST:
        return vanishing(sections, towards)
    inward, away = wall.inward[near], wall.away[near] / TIP_HALF
    tips = [_tip(inward, away, powers) for powers in ((2,), (1, 2))]
    (round_tip, round_misfit), (wedge, wedge_misfit) = tips
    inner = wedge if wedge_misfit < 0.9 * round_misfit else round_tip
    return end - towards * inner


def _tip(inward: Floats, away: Floats, powers: tuple[int, ...]) -> tuple[float, float]:
    matrix = np.stack([np.ones_like(away), *(away**power for power in powers)], axis=1)
    weight = np.ones_like(away)
    for _ in range(5):
        found = np.linalg.lstsq(matrix * weight[:, None], inward * weight, rcond=None)[0]
        off = np.abs(inward - matrix @ found)
        scale = 1.4826 * float(np.median(off)) + 1e-6
        weight = np.sqrt(np.minimum(1.0, 1.5 * scale / np.maximum(off, 1e-12)))
    return float(found[0]), scale


def vanishing(sections: list[Section], towards: float) -> float:
    """Return where the outline ends beyond the last sections: the root of its square, carried on straight."""
    ordered = sorted(sections, key=lambda s: -towards * s.x)[:4]
    out = np.array([towards * (s.x - ordered[0].x) for s in ordered])
    slope, value = np.polyfit(out, [s.half_width**2 for s in ordered], 1)
    return ordered[0].x + towards * float(np.clip(-value / min(slope, -1e-9), 0.0, 0.05))


def _flat_end(wall: Wall, half: float) -> float | None:
    """How far in a flat end lies: a wall that is as far in near the stringer as well out from it."""
    if half < BLOCK_HALF:
        return None
    near, out = wall.away < 0.3 * half, (wall.away > 0.3 * half) & (wall.away < 0.6 * half)
    if min(np.count_nonzero(near), np.count_nonzero(out)) < FEWEST // 2:
        return None
    places = [float(np.median(wall.inward[part])) for part in (near, out)]
    if abs(places[1] - places[0]) > BULGE:
        return None
    both = near | out
    return float(np.median(wall.inward[both]))


def _notched(points: Floats, lines: Lines, sections: list[Section]) -> Tip | None:
    """A notch: its walls are straight lines from the stringer out to the two tips of the tail."""
    low, _ = extent_of(points)
    wide = sections[0].half_width
    middle = points[np.abs(points[:, 1]) < max(0.1 * wide, 0.004)]
    gap = float(np.quantile(middle[:, 0], 5e-4)) - low
    if gap < NOTCH or wide < BLOCK_HALF:
        return None
    wall, end = wall_of(points, lines, -1.0, gap + 0.01)
    slope, foot = -gap / (0.9 * wide), gap
    for within in (0.015, 0.006, 0.003):
        close = np.abs(wall.inward - foot - slope * wall.away) < within * np.hypot(1.0, slope)
        if np.count_nonzero(close) < FEWEST or float(np.ptp(wall.away[close])) < 0.3 * wide:
            return None
        slope, foot = np.polyfit(wall.away[close], wall.inward[close], 1)
    # The tips of a notched tail are sharp: what lies farthest out is where they end.
    return Tip(End.NOTCH, end, float(foot))
