"""A scan measured: levelled, trimmed at its tips, made symmetric, read at any station."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from foamwright.errors import InputError, Problem
from foamwright.exchange.scan_files import Scan
from foamwright.exchange.scan_level import slope_at
from foamwright.exchange.scan_lines import Lines, extent_of, lines_of
from foamwright.exchange.scan_pose import Frame, frame_of
from foamwright.exchange.scan_sections import Section, section_at
from foamwright.exchange.scan_tips import End, Tip, tail_of, tip_at
from foamwright.shape.curves import Floats

STEP = 0.05
"""Metres between the sections that are fitted along the board."""

TIP_STEPS = (0.0035, 0.0055, 0.008, 0.012, 0.017, 0.024, 0.034, 0.047, 0.064, 0.085, 0.11, 0.14)
"""Metres from each end at which sections are fitted besides."""

REACH, TIP_REACH = 0.009, 0.4
"""Metres to either side of a station whose points count; near the tips, where outlines turn fast, that share
of the distance from the tip."""

OUTLINE_KNOTS = (0.03, 0.08, 0.16, 0.3)
"""Metres from each tip to the first knots of the outline."""

WORST = 0.004
"""Metres: a section that misses its points by more is none."""


@dataclass(frozen=True, eq=False)
class Measured:
    """A board as measured. The frame is the board's: tail tip at 0, level line at height 0, nose at +x.

    Attributes
    ----------
    frame
        Where the board lies in the file.
    points
        (N, 3) the scan in that frame, sorted along it.
    trust
        (N,) how much each point counts: pieces of one triangle share its noise.
    lines
        Stringer lines.
    sections
        Fitted sections, tail to nose.
    tail
        How the tail ends.
    length
        Tail tip to nose tip along the level line.
    apex
        Station where the level line touches.
    """

    frame: Frame
    points: Floats
    trust: Floats
    lines: Lines
    sections: tuple[Section, ...]
    tail: Tip
    length: float
    apex: float

    def tilted(self, lift: float, slope: float) -> Measured:
        """Return it in a frame whose level line is ``lift + slope * x`` of this one; the slope is small."""
        turned = self.points @ np.array([[1.0, 0.0, -slope], [0.0, 1.0, 0.0], [slope, 0.0, 1.0]])
        return replace(
            self,
            frame=self.frame.pitched(slope, 0.0, lift),
            points=turned - np.array([0.0, 0.0, lift]),
            lines=self.lines.tilted(lift, slope),
        )

    @cached_property
    def squared(self) -> Callable[[Floats], Floats]:
        """The squared half-width along the board, smooth at every kind of tip."""
        return _outline(self.sections, self.tail, self.length)

    def half_width(self, x: ArrayLike) -> Floats:
        """Return the half-width at stations, smoothed along the board; 0 at a pointed end."""
        return np.asarray(np.sqrt(np.maximum(self.squared(np.asarray(x, dtype=float)), 0.0)))

    def thickness(self, x: ArrayLike) -> Floats:
        """Return the thickness at the stringer at stations."""
        at = np.asarray(x, dtype=float)
        return np.asarray(self.lines.deck(at) - self.lines.bottom(at))


def halfway(length: float) -> float:
    """Return the middle of a board: where the level line touches if nobody says otherwise."""
    return length / 2.0


class Ends(Enum):
    """Whether nose and tail are as they were found."""

    FOUND = "found"
    EXCHANGED = "exchanged"


def measure(scan: Scan, apex_of: Callable[[float], float] = halfway, ends: Ends = Ends.FOUND) -> Measured:
    """Return a scan measured as a board.

    Parameters
    ----------
    scan
        The scan.
    apex_of
        Station where the level line touches, metres from the tail, for a length in metres.
    ends
        Whether nose and tail are to be exchanged: the nose is taken to be the end that turns up more.

    Raises
    ------
    InputError
        The scan is no whole board.
    """
    found = frame_of(scan)
    frame = _levelled(scan, found if ends is Ends.FOUND else found.turned_round(), apex_of)
    points = frame.points(scan.centres)
    order = np.argsort(points[:, 0], kind="stable")
    points = points[order]
    lines = lines_of(points)
    sections = _sections(points, lines, _places(points))
    tail, nose = _tips(points, lines, sections)
    if tail.kind is End.NOTCH:
        lines = _past_notch(points, lines, tail)
        sections = _sections(points, lines, _places(points))
    length, apex = nose - tail.x, apex_of(nose - tail.x)
    floor = float(lines.bottom(np.array(tail.x + apex)))
    shifted = tuple(replace(section, x=section.x - tail.x) for section in sections)
    return Measured(
        frame=frame.moved(tail.x, floor),
        points=points - np.array([tail.x, 0.0, floor]),
        trust=scan.shares[order],
        lines=lines.moved(tail.x, floor),
        sections=tuple(s for s in shifted if 0.0 < s.x < length),
        tail=replace(tail, x=0.0),
        length=length,
        apex=apex,
    )


def _levelled(scan: Scan, frame: Frame, apex_of: Callable[[float], float]) -> Frame:
    """Turn the frame until the bottom is level where the level line touches.

    At first the ends of the scan do for its tips; the last time they are looked at closely.
    """
    for closely in (False, False, True):
        points = _sorted(frame.points(scan.centres))
        lines, (low, high) = lines_of(points), extent_of(points)
        if closely:
            tail, high = _tips(points, lines, _sections(points, lines, _tip_places(points)))
            low = tail.x
        at = low + apex_of(high - low)
        slope = slope_at(points, lines, at, high - low)
        frame = frame.pitched(slope, at, float(lines.bottom(np.array(at))))
    return frame


def _past_notch(points: Floats, lines: Lines, tail: Tip) -> Lines:
    """The lines without the notch's upright walls, which stand beside the stringer: on from its foot."""
    ahead = lines_of(points[points[:, 0] > tail.x + tail.depth])
    return replace(lines, bottom=ahead.bottom, deck=ahead.deck)


def _tips(points: Floats, lines: Lines, sections: list[Section]) -> tuple[Tip, float]:
    middle = 0.5 * (sections[0].x + sections[-1].x)
    aft, fore = [s for s in sections if s.x < middle], [s for s in sections if s.x > middle]
    return tail_of(points, lines, aft), tip_at(points, lines, fore, 1.0)


def _tip_places(points: Floats) -> list[tuple[float, float]]:
    low, high = extent_of(points)
    steps = [(d, min(TIP_REACH * d, REACH)) for d in TIP_STEPS]
    return [(low + d, reach) for d, reach in steps] + [(high - d, reach) for d, reach in steps]


def _places(points: Floats) -> list[tuple[float, float]]:
    """Stations of sections, each with its reach, tail to nose."""
    low, high = extent_of(points)
    first, last = low + TIP_STEPS[-1], high - TIP_STEPS[-1]
    even = np.linspace(first, last, max(int((last - first) / STEP), 12))[1:-1]
    return sorted([*_tip_places(points), *((float(x), REACH) for x in even)])


def _sections(points: Floats, lines: Lines, places: list[tuple[float, float]]) -> list[Section]:
    found = [section_at(points, lines, x, reach) for x, reach in sorted(places)]
    kept = [section for section in found if section is not None and section.misfit < WORST]
    if len(kept) < len(places) // 2:
        raise InputError(
            Problem(
                "scan", "shows hardly any whole section.", "Scan bottom, deck and both rails, tail to nose."
            )
        )
    return kept


def _outline(sections: tuple[Section, ...], tail: Tip, length: float) -> Callable[[Floats], Floats]:
    """A cubic spline through the squared half-widths, trusting each by its width and its misfit."""
    from scipy.interpolate import BSpline

    ends = [length] if tail.kind is not End.POINT else [0.0, length]
    x = np.array([*(s.x for s in sections), *ends])
    squared = np.array([*(s.half_width**2 for s in sections), *(0.0 for _ in ends)])
    even = np.linspace(OUTLINE_KNOTS[-1], length - OUTLINE_KNOTS[-1], max(int(length / 0.16) - 3, 3))
    near = OUTLINE_KNOTS[:-1]
    knots = [0.0] * 4 + [*near, *even, *(length - d for d in near[::-1])] + [length] * 4
    matrix = BSpline.design_matrix(np.clip(x, 0.0, length), np.array(knots), 3).toarray()
    weight = 1.0 / (6e-4 * np.sqrt(squared) + 1e-6)
    trust, found = np.ones_like(weight), np.zeros(matrix.shape[1])
    for _ in range(5):
        scaled = weight * trust
        found = np.linalg.lstsq(matrix * scaled[:, None], squared * scaled, rcond=None)[0]
        off = np.abs(squared - matrix @ found) * weight
        trust = np.sqrt(np.minimum(1.0, 1.5 / np.maximum(off, 1e-9)))
    spline = BSpline(np.array(knots), found, 3)
    return lambda at: np.asarray(spline(np.clip(at, 0.0, length)))


def _sorted(points: Floats) -> Floats:
    return points[np.argsort(points[:, 0], kind="stable")]
