"""A wire's path through a block: leads, offset edges, corners; both ends of the wire at once."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.machine import WireMachine
from foamwright.errors import InputError, Problem
from foamwright.making.wire_offset import Edge, corner, left_of, offset_edge, self_crossing
from foamwright.shape.curves import Floats

CHORD = 4e-6
"""Metres by which a straight move may miss the path; far below the step of any machine."""


@dataclass(frozen=True, eq=False)
class Part:
    """What is cut out: the same edges at the near and at the far face of the block, walked in one order.

    Attributes
    ----------
    name
        ``profile`` or ``outline``.
    near, far
        Edges at the two faces; edge by edge and point by point they belong together.
    closed
        Whether the last edge ends where the first begins.
    depth
        Metres of foam along the wire.
    """

    name: str
    near: tuple[Edge, ...]
    far: tuple[Edge, ...]
    closed: bool
    depth: float

    @property
    def tapered(self) -> bool:
        """Whether the two faces differ."""
        return any(not np.array_equal(n.points, f.points) for n, f in zip(self.near, self.far, strict=True))

    def edges_at(self, share: float) -> tuple[Floats, ...]:
        """Return the edges (N, 2) at a share of the way from the near face to the far one: ruled lines."""
        return tuple(
            n.points + share * (f.points - n.points) for n, f in zip(self.near, self.far, strict=True)
        )


@dataclass(frozen=True, eq=False)
class WirePath:
    """Where the middle of the wire runs at the two faces of the block.

    Attributes
    ----------
    name
        Name of the part.
    near, far
        (M, 2) metres along and up in the block's frame.
    seconds
        (M - 1,) time of each move.
    depth
        Metres between the two faces.
    """

    name: str
    near: Floats
    far: Floats
    seconds: Floats
    depth: float

    @property
    def equal(self) -> bool:
        """Whether both ends run the same path."""
        return np.array_equal(self.near, self.far)

    @property
    def minutes(self) -> float:
        """Time in the foam and its leads."""
        return float(np.sum(self.seconds)) / 60.0

    @property
    def metres(self) -> float:
        """Length at the near face."""
        return float(np.sum(np.hypot(*np.diff(self.near, axis=0).T)))


def wire_path(part: Part, machine: WireMachine, feed: float, air: tuple[float, float]) -> WirePath:
    """Return the compensated path of the wire around a part.

    Parameters
    ----------
    part
        What is cut out, in the block's frame.
    machine
        Kerf over feed, lead, overshoot.
    feed
        Mean speed of the two ends through the foam, m/s.
    air
        Stations before and beyond the foam where the cut may begin and end, metres.

    Returns
    -------
    WirePath
        A closed part is entered and left at its first corner; an open one from end to end.

    Raises
    ------
    InputError
        An offset would cross itself, a corner points inwards, or an end of the wire would run at a speed
        for which no kerf was measured.
    """
    pace = [speeds((near.points, far.points), feed) for near, far in zip(part.near, part.far, strict=True)]
    _check_speeds(part, pace, machine)
    radii = [(machine.kerf.at(near) / 2.0, machine.kerf.at(far) / 2.0) for near, far in pace]
    # The run past a corner keeps the ratio of both speeds, so that the kerf stays what it was on the edge.
    over = [(near * (machine.overshoot / feed), far * (machine.overshoot / feed)) for near, far in pace]
    near, far = (
        _chain(edges, _side(radii, i), _side(over, i), closed=part.closed)
        for i, edges in enumerate((part.near, part.far))
    )
    both = np.concatenate([near, far], axis=1)
    led = _led(part, both, air)
    thin = led[thinned(led, CHORD)]
    lengths = np.hypot(*np.diff(thin[:, :2], axis=0).T), np.hypot(*np.diff(thin[:, 2:], axis=0).T)
    return WirePath(part.name, thin[:, :2], thin[:, 2:], (lengths[0] + lengths[1]) / 2.0 / feed, part.depth)


def speeds(edges: tuple[Floats, Floats], feed: float) -> tuple[Floats, Floats]:
    """Return the speed (N,) of both ends at the points of an edge whose mean speed is `feed`."""
    near, far = (np.hypot(*np.diff(points, axis=0).T) for points in edges)
    mean = np.maximum((near + far) / 2.0, 1e-15)
    near, far = feed * near / mean, feed * far / mean
    return _at_points(near), _at_points(far)


def thinned(points: Floats, tolerance: float) -> NDArray[np.intp]:
    """Return the indices of the points that a polyline (N, D) needs to stay within `tolerance` of itself.

    Source: Douglas and Peucker, Algorithms for the reduction of the number of points required to represent
    a digitized line or its caricature, Cartographica 10, 1973.
    """
    keep = np.zeros(points.shape[0], dtype=bool)
    keep[[0, -1]] = True
    open_runs = [(0, points.shape[0] - 1)]
    while open_runs:
        first, last = open_runs.pop()
        if last - first < 2:
            continue
        away = _away(points[first : last + 1])
        worst = int(np.argmax(away))
        if away[worst] > tolerance:
            keep[first + worst] = True
            open_runs += [(first, first + worst), (first + worst, last)]
    return np.flatnonzero(keep)


def _away(run: Floats) -> Floats:
    """Distance of points from the segment between the first and the last of them."""
    chord = run[-1] - run[0]
    square = float(chord @ chord)
    gap = run - run[0]
    share = np.clip(gap @ chord / square, 0.0, 1.0) if square > 0.0 else np.zeros(run.shape[0])
    return np.asarray(np.sqrt(np.sum((gap - share[:, None] * chord) ** 2, axis=1)))


def _at_points(values: Floats) -> Floats:
    padded = np.concatenate([values[:1], values, values[-1:]])
    return np.asarray((padded[1:] + padded[:-1]) / 2.0)


def _check_speeds(part: Part, pace: list[tuple[Floats, Floats]], machine: WireMachine) -> None:
    for edge, both in zip(part.near, pace, strict=True):
        if not all(machine.kerf.covers(speed) for speed in both):
            raise InputError(_beyond_table(edge.name, both, machine))


def _side(pairs: list[tuple[Floats, Floats]], side: int) -> list[Floats]:
    return [pair[side] for pair in pairs]


def _beyond_table(edge: str, both: tuple[Floats, Floats], machine: WireMachine) -> Problem:
    speeds_seen = np.concatenate(both) * 60e3
    low, high = float(np.min(speeds_seen)), float(np.max(speeds_seen))
    table = [feed * 60e3 for feed in (machine.kerf.feeds[0], machine.kerf.feeds[-1])]
    return Problem(
        edge,
        f"the wire's ends would run at {low:.0f} to {high:.0f} mm/min, and the kerf was measured from "
        f"{table[0]:.0f} to {table[1]:.0f} mm/min.",
        "Choose a feed in the middle of the table, cut with equal profiles, or measure more rows.",
    )


def _chain(edges: tuple[Edge, ...], radii: list[Floats], over: list[Floats], *, closed: bool) -> Floats:
    moved = [offset_edge(edge, r) for edge, r in zip(edges, radii, strict=True)]
    _check_crossing(moved)
    parts = [moved[0]]
    for i, pair in enumerate(pairwise(edges)):
        ends = (float(radii[i][-1]), float(radii[i + 1][0]))
        parts += [corner(pair, ends, (float(over[i][-1]), float(over[i + 1][0]))), moved[i + 1]]
    if closed:
        parts.append(_onto_first(edges, radii, float(over[-1][-1])))
    return np.concatenate(parts)


def _onto_first(edges: tuple[Edge, ...], radii: list[Floats], overshoot: float) -> Floats:
    """Run on past the last corner until the line of the first edge's lead is met or passed."""
    end, tangent = edges[-1].points[-1], edges[-1].tangents[-1]
    reach = max(overshoot, 2.0 * float(radii[0][0]))
    return np.asarray(end + left_of(tangent) * radii[-1][-1] + tangent * reach)[None, :]


def _led(part: Part, both: Floats, air: tuple[float, float]) -> Floats:
    """Add the leads: a closed part is reached along the line of its first edge, and left the same way."""
    first = _on_line(part, both[0], air[0])
    if part.closed:
        # Back onto the lead's own kerf, then out along it.
        back = _on_line(part, both[0], 0.5 * (air[0] + min(both[0, 0], both[0, 2])))
        return np.concatenate([first[None], both, back[None], first[None]])
    start, stop = both[0].copy(), both[-1].copy()
    start[[0, 2]], stop[[0, 2]] = air
    return np.concatenate([start[None], both, stop[None]])


def _on_line(part: Part, begin: Floats, x: float) -> Floats:
    """The point at station `x` on the straight line that runs into the first edge, at both faces."""
    ends = []
    for edge, at in ((part.near[0], begin[:2]), (part.far[0], begin[2:])):
        run = edge.tangents[0]
        ends.append(at + run * (x - at[0]) / run[0])
    return np.concatenate(ends)


def _check_crossing(moved: list[Floats]) -> None:
    """Raise if the offset edges cross each other (the loops at corners are left out)."""
    whole = np.concatenate(moved)
    place = self_crossing(whole[thinned(whole, 1e-4)])
    if place is not None:
        raise InputError(
            Problem(
                "the path of the wire",
                f"crosses itself {place[0] * 1000:.0f} mm from the tail.",
                "The part is thinner there than the wire's kerf allows; leave a larger allowance.",
            )
        )
