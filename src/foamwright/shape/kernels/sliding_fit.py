"""One profile slid along inside others: for every slide the best line, its cost, and whether it fits.

The inner profile (stations `x`, bottom, deck, half-width) is placed in an outer one by a slide along it
and a line ``lift + tilt * x``. Outer profiles are tables on a uniform grid, read with cubic
interpolation through four neighbours; the table holds the squared half-width and the drop of the
deck at the edge, because both are smooth where a rounded end makes the half-width itself steep.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.line_between import FITS, NONE_FITS, quick_line
from foamwright.shape.kernels.table_reading import sample, sample_on_grid

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

TOO_NARROW = 3
"""Status beside those of `line_between`: the outline does not fit, and no line was looked for."""

SLIDE, MARGIN, GAP, LIFT, TILT, COST, STATUS = range(7)
"""Columns of a result."""

BOTTOM, DECK, SQUARED_WIDTH, EDGE_DROP = range(4)
"""Columns of an outer table."""

STEEPEST = 0.5
"""How fast a miss can shrink with the slide, metres per metre: curves of a foam profile are not steeper. A
miss that this could not close within a step of the grid is not a window that the grid stepped over."""

ON_GRID = 1e-12
"""Metres: a slide this near a whole number of rows is one."""

FINEST = 1e-6
"""Metres: the golden-section search stops here."""

TINY = 1e-12
"""Square metres: an outer profile narrower than this is as good as ended."""

EQUAL_COST = 1e-9
"""Costs closer than this are equal; the smaller slide is then kept."""


class Inner(NamedTuple):
    """The profile that is laid; N stations, K places across, C kinds of rates.

    Attributes
    ----------
    x, bottom, deck, half_width
        (N,) metres; the half-width with its margin.
    middle
        (N,) 1 where the limits on the most that may come off are held, else 0.
    drop, squared
        (N, K) how far the deck lies below its middle, and the square of the distance across.
    mildest
        (N,) an outer dome no stronger than this comes nearest in the middle.
    row, weight
        (N,), (N, 4) where each station reads an outer table at slide 0: row before it less one, and weights.
    rates
        (C, 2, N) cost per metre of depth at each station, bottom and deck, times the station's weight.
    crown, arch
        (N,) cost of what stands above a crowned deck, and what an outer dome of unit strength saves of it.
    """

    x: Floats
    bottom: Floats
    deck: Floats
    half_width: Floats
    middle: Floats
    drop: Floats
    squared: Floats
    mildest: Floats
    row: Indices
    weight: Floats
    rates: Floats
    crown: Floats
    arch: Floats


class Outers(NamedTuple):
    """Outer profiles, their tables one after the other.

    Attributes
    ----------
    table
        (R, 4) rows of bottom, deck, squared half-width, drop at the edge.
    first, rows, spacing
        (B,) first row, number of rows and grid spacing of each profile.
    skim, most
        (B, 2) least and most that must and may come off bottom and deck.
    kind
        (B,) which of the inner profile's rates holds.
    """

    table: Floats
    first: Indices
    rows: Indices
    spacing: Floats
    skim: Floats
    most: Floats
    kind: Indices


class One(NamedTuple):
    """One outer profile with what does not change as the inner one slides."""

    table: Floats
    spacing: float
    skim: Floats
    most: Floats
    rates: Floats
    toward: Floats
    fixed: float
    domed: bool


class Room(NamedTuple):
    """Working space of one thread; `sample` (4, N) is the outer profile at the inner one's stations."""

    sample: Floats
    margin: Floats
    dome: Floats
    lower: Floats
    upper: Floats
    hulls: Floats


@compiled
def room_for(stations: int) -> Room:
    """Return working space for so many stations."""
    return Room(
        np.empty((4, stations)),
        np.empty(stations),
        np.empty(stations),
        np.empty(stations),
        np.empty(stations),
        np.empty((2, 3, stations)),
    )


@compiled
def one_of(inner: Inner, outers: Outers, index: int) -> One:
    """Return one outer profile; `toward` is how the cost grows with lift and tilt."""
    first = outers.first[index]
    rates = inner.rates[outers.kind[index]]
    toward = np.zeros(2)
    fixed = 0.0
    for i in range(inner.x.size):
        toward[0] += rates[0, i] - rates[1, i]
        toward[1] += (rates[0, i] - rates[1, i]) * inner.x[i]
        fixed += rates[0, i] * inner.bottom[i] - rates[1, i] * inner.deck[i] + inner.crown[i]
    table = outers.table[first : first + outers.rows[index]]
    domed = bool(np.max(table[:, EDGE_DROP]) > 0.0)
    return One(
        table, outers.spacing[index], outers.skim[index], outers.most[index], rates, toward, fixed, domed
    )


@compiled
def read_outer(inner: Inner, one: One, slide: float, out: Floats) -> None:
    """Read an outer profile at a slide, the quick way if it may."""
    shift = round(slide / one.spacing)
    last = inner.row[inner.row.size - 1] + shift + 3
    if abs(slide - shift * one.spacing) < ON_GRID and shift > 0 and last < one.table.shape[0]:
        sample_on_grid(inner.row, inner.weight, shift, one.table, out)
    else:
        sample(inner.x, slide, one.table, one.spacing, out)


@compiled
def outline_margin(inner: Inner, width2: Floats, room: Floats) -> float:
    """Return how far the inner outline stays inside the outer one where it comes nearest."""
    for i in range(inner.x.size):
        room[i] = np.sqrt(max(width2[i], 0.0)) - inner.half_width[i]
    margin = np.inf
    for i in range(inner.x.size):
        if room[i] < margin:
            margin = room[i]
    return margin


@compiled
def _difference(outer: Floats, inner: Floats, more: float, out: Floats) -> None:
    for i in range(out.size):
        out[i] = outer[i] - inner[i] + more


@compiled
def set_limits(inner: Inner, one: One, room: Room) -> None:
    """Set the two point sets the line must keep between."""
    bottom, deck = room.sample[BOTTOM], room.sample[DECK]
    _difference(bottom, inner.bottom, one.skim[0], room.lower)
    _difference(deck, inner.deck, -one.skim[1], room.upper)
    if one.domed:
        _lower_for_dome(inner, room)
    if min(one.most[0], one.most[1]) == np.inf:
        return
    for i in range(inner.x.size):
        if inner.middle[i] > 0.0:
            room.lower[i] = max(room.lower[i], deck[i] - inner.deck[i] - one.most[1])
            room.upper[i] = min(room.upper[i], bottom[i] - inner.bottom[i] + one.most[0])


@compiled
def _lower_for_dome(inner: Inner, room: Room) -> None:
    """Lower the upper set where a domed outer deck comes nearer beside the middle than on it."""
    for i in range(room.dome.size):
        room.dome[i] = room.sample[EDGE_DROP, i] / max(room.sample[SQUARED_WIDTH, i], TINY)
    for i in range(room.dome.size):
        if room.dome[i] <= inner.mildest[i]:
            continue
        least = 0.0
        for k in range(inner.drop.shape[1]):
            here = inner.drop[i, k] - room.dome[i] * inner.squared[i, k]
            if here < least:
                least = here
        room.upper[i] += least


@compiled
def cost_at_zero(inner: Inner, one: One, room: Room) -> float:
    """Return the cost with lift and tilt zero at this slide."""
    bottom, deck = room.sample[BOTTOM], room.sample[DECK]
    cost = one.fixed
    for i in range(inner.x.size):
        cost += one.rates[1, i] * deck[i] - one.rates[0, i] * bottom[i]
    if one.domed:
        for i in range(inner.x.size):
            cost -= inner.arch[i] * room.dome[i]
    return cost


@compiled
def place(inner: Inner, one: One, slide: float, room: Room, out: Floats) -> None:
    """Find the best lay at one slide; `out` gets one result."""
    read_outer(inner, one, slide, room.sample)
    out[SLIDE] = slide
    out[MARGIN] = outline_margin(inner, room.sample[SQUARED_WIDTH], room.margin)
    out[GAP] = out[LIFT] = out[TILT] = out[COST] = np.nan
    out[STATUS] = TOO_NARROW
    if out[MARGIN] < 0.0:
        return
    set_limits(inner, one, room)
    line = quick_line(inner.x, room.lower, room.upper, one.toward, room.hulls)
    out[GAP], out[LIFT], out[TILT], out[STATUS] = line.gap, line.lift, line.tilt, line.status
    out[COST] = cost_at_zero(inner, one, room) + one.toward[0] * line.lift + one.toward[1] * line.tilt


@compiled
def better(one: Floats, other: Floats) -> bool:
    """Return whether the first result beats the second: it fits and costs less, or it fails by less."""
    if one[STATUS] != other[STATUS]:
        return bool(one[STATUS] < other[STATUS])
    if one[STATUS] == FITS:
        return bool(one[COST] < other[COST] - EQUAL_COST)
    if one[STATUS] == NONE_FITS:
        return bool(one[GAP] > other[GAP])
    return bool(one[MARGIN] > other[MARGIN])


@compiled
def keep_better(trial: Floats, best: Floats) -> None:
    """Copy the trial over the best if it beats it."""
    if better(trial, best):
        best[:] = trial


@compiled
def narrow_down(inner: Inner, one: One, ends: tuple[float, float], room: Room, best: Floats) -> None:
    """Golden-section search between two slides, for a fit that the grid stepped over."""
    ratio = 0.5 * (np.sqrt(5.0) - 1.0)
    trials = np.empty((2, best.size))
    left, right = ends
    near, far = right - ratio * (right - left), left + ratio * (right - left)
    place(inner, one, near, room, trials[0])
    place(inner, one, far, room, trials[1])
    while right - left > FINEST:
        if better(trials[0], trials[1]):
            right, far = far, near
            trials[1] = trials[0]
            near = right - ratio * (right - left)
            place(inner, one, near, room, trials[0])
        else:
            left, near = near, far
            trials[0] = trials[1]
            far = left + ratio * (right - left)
            place(inner, one, far, room, trials[1])
    keep_better(trials[0], best)
    keep_better(trials[1], best)


@compiled
def refine(inner: Inner, one: One, ends: tuple[float, float], tape: float, best: Floats) -> None:
    """Better the best slide of the grid: on the marks of a tape, and between them only where it must be."""
    room = room_for(inner.x.size)
    trial, marked = np.empty(best.size), np.empty(best.size)
    closes = STEEPEST * (ends[1] - ends[0])
    if (best[STATUS] == TOO_NARROW and best[MARGIN] > -closes) or (
        best[STATUS] == NONE_FITS and best[GAP] > -closes
    ):
        narrow_down(inner, one, ends, room, best)
    marked[STATUS], marked[MARGIN] = TOO_NARROW, -np.inf
    for mark in range(int(np.ceil(ends[0] / tape)), int(np.floor(ends[1] / tape)) + 1):
        place(inner, one, mark * tape, room, trial)
        keep_better(trial, marked)
    if marked[STATUS] == FITS:
        best[:] = marked


@compiled
def survey_slides(
    inner: Inner, outers: Outers, starts: Indices, grid: Floats, bests: Floats, tape: float
) -> None:
    """Find the best lay at every slide of every outer profile, then better the best of each.

    Parameters
    ----------
    inner, outers
        The profiles.
    starts
        (B+1,) where each profile's slides begin in `grid`; an empty run is left alone.
    grid
        (S, 7) results; the column `SLIDE` says which slides to try, rising in each run.
    bests
        (B, 7) gets the best of each profile.
    tape
        Spacing of the marks that a slide should fall on, metres.
    """
    room = room_for(inner.x.size)
    for index in range(starts.size - 1):
        first, last = starts[index], starts[index + 1] - 1
        if last < first:
            continue
        one = one_of(inner, outers, index)
        top = first
        for row in range(first, last + 1):
            place(inner, one, grid[row, SLIDE], room, grid[row])
            if better(grid[row], grid[top]):
                top = row
        bests[index] = grid[top]
        ends = grid[max(top - 1, first), SLIDE], grid[min(top + 1, last), SLIDE]
        refine(inner, one, ends, tape, bests[index])
