"""A scanned blank as the numbers of a stock sheet: upright edges, flat bottom, square or domed deck."""

from __future__ import annotations

import numpy as np

from foamwright.blank.numbers import BlankNumbers, Foam, Section, Stringer
from foamwright.errors import InputError, Problem
from foamwright.exchange.scan_files import Scan
from foamwright.exchange.scan_level import slope_at
from foamwright.exchange.scan_lines import Lines, extent_of, lines_of
from foamwright.exchange.scan_numbers import Tape
from foamwright.exchange.scan_pose import frame_of
from foamwright.exchange.scan_tips import HALFWAY, wall_of
from foamwright.shape.curves import Floats
from foamwright.stations import Mark
from foamwright.units import Unit

SLAB = 0.02
"""Metres to either side of a station whose points count."""

DENSE = 0.002
"""Metres along which the points of a flat end lie, with the noise of a scan."""

SQUARE = 0.97
"""Edge thickness above this share of the stringer's is a square section."""


def blank_of_scan(
    scan: Scan, name: str, foam: Foam, unit: Unit, apex_share: float | None = None
) -> BlankNumbers:
    """Return a scanned blank as a stock sheet says it.

    Parameters
    ----------
    scan
        The scan.
    name, foam
        What no scan shows.
    unit
        Whose stations and marks are used.
    apex_share
        Where its level line touches, as a share of the length; ``None``: halfway.

    Raises
    ------
    InputError
        The scan is no whole blank.
    """
    share = 0.5 if apex_share is None else apex_share
    frame = frame_of(scan)
    for _ in range(3):
        points = frame.points(scan.centres)
        points = points[np.argsort(points[:, 0], kind="stable")]
        lines, (low, high) = lines_of(points), extent_of(points)
        ends = _end(points, lines, -1.0, low), _end(points, lines, 1.0, high)
        at = ends[0] + share * (ends[1] - ends[0])
        slope = slope_at(points, lines, at, high - low)
        frame = frame.pitched(slope, at, float(lines.bottom(at)))
    points = frame.points(scan.centres)
    lines = lines_of(points)
    start = _end(points, lines, -1.0, extent_of(points)[0])
    length = _end(points, lines, 1.0, extent_of(points)[1]) - start
    return _numbers(
        points - np.array([start, 0.0, 0.0]), lines.moved(start, 0.0), (name, foam), Tape(unit, length)
    )


def _end(points: Floats, lines: Lines, towards: float, end: float) -> float:
    """Station of a flat end: where its wall's points stand densest; the sides' points are strewn along."""
    wall, _ = wall_of(points, lines, towards, 0.012)
    if wall.inward.size < 10:
        return end
    inward = np.sort(wall.inward)
    last = np.searchsorted(inward, inward + DENSE)
    first = int(np.argmax(last - np.arange(inward.size)))
    return end - towards * float(np.median(inward[first : last[first]]))


def _numbers(points: Floats, lines: Lines, told: tuple[str, Foam], tape: Tape) -> BlankNumbers:
    places = tape.places()
    inside = {p: float(np.clip(tape.x(p), 2.0 * SLAB, tape.measured - 2.0 * SLAB)) for p in places}
    halves = {p: _half(points, lines, x) for p, x in inside.items()}
    shares = {p: _edge_share(points, lines, inside[p], halves[p]) for p in places}
    square = float(np.median(list(shares.values()))) > SQUARE
    width = 2.0 * np.array(list(halves.values()))
    even = float(np.ptp(width)) < 0.004
    name, foam = told
    thick = {p: float(lines.deck(tape.x(p)) - lines.bottom(tape.x(p))) for p in places}
    level = float(np.ptp(list(thick.values()))) < 0.002
    ends = (places[0], places[-1])
    return BlankNumbers(
        id=name,
        foam=foam,
        section=Section.SQUARE if square else Section.DOMED,
        length=tape.length,
        outline=tuple(
            tape.mark(p, float(np.median(width)) if even else 2.0 * halves[p])
            for p in (ends if even else places)
        ),
        wide=None,
        wide_at=None,
        rocker=tuple(tape.mark(p, float(lines.bottom(tape.x(p)))) for p in places),
        thickness=tuple(
            tape.mark(p, float(np.median(list(thick.values()))) if level else thick[p])
            for p in (ends if level else places)
        ),
        dome=() if square else tuple(Mark(tape.x(p), round(shares[p], 2), p) for p in places),
        stringer=Stringer("none", 0.0),
        price=0.0,
        currency="EUR",
        on_hand=1,
        lead_time_days=0.0,
        hard_face=None,
        hard_most=0.0,
        skim_bottom=0.0,
        skim_deck=0.0,
    )


def _slab(points: Floats, lines: Lines, x: float) -> tuple[Floats, Floats]:
    """Distances from the stringer and heights as shares of the thickness, of points near a station."""
    near = points[np.abs(points[:, 0] - x) < SLAB]
    bottom, deck = lines.bottom(near[:, 0]), lines.deck(near[:, 0])
    return np.abs(near[:, 1]), (near[:, 2] - bottom) / np.maximum(deck - bottom, 1e-4)


def _half(points: Floats, lines: Lines, x: float) -> float:
    away, height = _slab(points, lines, x)
    wall = (height > HALFWAY[0]) & (height < 0.5) & (away > 0.5 * float(np.max(away, initial=0.0)))
    if np.count_nonzero(wall) < 4:
        raise InputError(
            Problem(
                "scan",
                f"shows no upright edge {x:.2f} m from the tail.",
                "Is it a blank? A board is --as board.",
            )
        )
    return float(np.median(away[wall]))


def _edge_share(points: Floats, lines: Lines, x: float, half: float) -> float:
    """Thickness at the edge as a share of the stringer's, by the parabola through the deck."""
    away, height = _slab(points, lines, x)
    deck = (away < 0.92 * half) & (height > 0.5)
    if np.count_nonzero(deck) < 10:
        return 1.0
    square = (away[deck] / half) ** 2
    drop = np.linalg.lstsq(np.stack([np.ones_like(square), square], axis=1), height[deck], rcond=None)[0][1]
    return float(np.clip(1.0 + drop, 0.0, 1.0))
