"""Invented boards and blanks with closed-form curves, and a general LP solver's answer for any lay.

Shared by the benchmarks and by the tests of the lay. The reference sees only the curves and the rules of
MODEL.md section 5; it shares no code with the kernels.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import linprog

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import BlankNumbers, Face, Foam, FoamFamily, Section, Stringer
from foamwright.lay.limits import Limits, allowed_of, limits_at
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack, inner_of
from foamwright.shape.kernels.line_between import Line
from foamwright.shape.kernels.sliding_fit import GAP, LIFT, STATUS, TILT, one_of, place, room_for
from foamwright.stations import Mark

INCH = 0.0254


@dataclass(frozen=True)
class Bend:
    """A rocker: ``(x - apex)^2 (two + three (x - apex) + four (x - apex)^2)``."""

    apex: float
    two: float
    three: float
    four: float

    def __call__(self, x, derivative=0):
        v = np.asarray(x, dtype=float) - self.apex
        if derivative == 2:
            return 2 * self.two + 6 * self.three * v + 12 * self.four * v**2
        return v**2 * (self.two + self.three * v + self.four * v**2)


def bend_to(length: float, nose: float, tail: float, apex: float, two: float) -> Bend:
    """The bend of given heights at nose and tail."""
    n, t = length - apex, -apex
    three, four = np.linalg.solve([[n, n * n], [t, t * t]], [nose / n**2 - two, tail / t**2 - two])
    return Bend(apex, two, float(three), float(four))


@dataclass(frozen=True)
class InventedBoard:
    """A board of closed-form curves with the methods that the lay asks of a board."""

    length: float
    bend: Bend
    thick: float
    tip: float  # thickness left at the tips, as a share
    width: float

    def _v(self, x):
        return 2 * np.asarray(x, dtype=float) / self.length - 1

    def pre_contour(self, x):
        return self.bend(x)

    def _thickness(self, x):
        v = self._v(x)
        return self.thick * (1 - (1 - self.tip) * (0.6 * v**2 + 0.4 * v**4))

    def deck_line(self, x):
        return self.bend(x) + self._thickness(x)

    def half_width(self, x):
        return 0.5 * self.width * np.maximum(1 - self._v(x) ** 2, 0.0) ** 0.55

    def deck(self, x, y):
        half = np.maximum(self.half_width(x), 1e-9)[:, None]
        share = np.clip(np.abs(y) / half, 0, 1)
        fall = 0.6 * self._thickness(x)[:, None] * (1 - (1 - share**2.2) ** (1 / 2.2))
        return self.deck_line(x)[:, None] - fall

    def deck_curvature(self, x):
        v = self._v(x)
        bent = -self.thick * (1 - self.tip) * (1.2 + 4.8 * v**2) * (2 / self.length) ** 2
        return self.bend(x, 2) + bent

    def bottom_curvature(self, x):
        return self.bend(x, 2)


@dataclass(frozen=True)
class InventedBlank:
    """A blank of closed-form curves with the methods that the lay asks of a blank."""

    numbers: BlankNumbers
    bend: Bend
    thick: float
    taper: float
    width: float
    edge: float  # share of the thickness lost at the edge; 0 for a square section

    @property
    def length(self):
        return self.numbers.length

    def bottom(self, x):
        return self.bend(x)

    def deck(self, x):
        v = 2 * np.asarray(x, dtype=float) / self.length - 1
        return self.bend(x) + self.thick * (1 - self.taper * v**2)

    def half_width(self, x):
        v = 2 * np.asarray(x, dtype=float) / self.length - 1
        return 0.5 * self.width * (1 - 0.7 * v**4)

    def dome(self, x):
        return self.edge * (self.deck(x) - self.bottom(x)) / self.half_width(x) ** 2


def numbers_of(name: str, length: float, **changes) -> BlankNumbers:
    """Numbers of an invented blank; only what the lay reads is true."""
    ends = (Mark(0.0, 0.5, "tail"), Mark(length, 0.5, "nose"))
    values = {
        "id": name,
        "foam": Foam(FoamFamily.EPS, 24.0),
        "section": Section.SQUARE,
        "length": length,
        "outline": ends,
        "wide": None,
        "wide_at": None,
        "rocker": ends,
        "thickness": ends,
        "dome": (),
        "stringer": Stringer("basswood", INCH / 8),
        "price": 80.0,
        "currency": "EUR",
        "on_hand": 2,
        "lead_time_days": 7.0,
        "hard_face": None,
        "hard_most": 0.0,
        "skim_bottom": INCH / 16,
        "skim_deck": INCH / 16,
    }
    return BlankNumbers(**(values | changes))


def random_board(rng: np.random.Generator) -> InventedBoard:
    """A board between 5'6" and 9'6"."""
    length = rng.uniform(66, 114) * INCH
    apex = length * rng.uniform(0.38, 0.5)
    nose, tail = rng.uniform(3, 5.5) * INCH, rng.uniform(1.5, 2.8) * INCH
    bend = bend_to(length, nose, tail, apex, rng.uniform(0.01, 0.03))
    thick, width = rng.uniform(2.2, 3.1) * INCH, rng.uniform(18.5, 23) * INCH
    return InventedBoard(length, bend, thick, rng.uniform(0.2, 0.35), width)


def random_blank(rng: np.random.Generator, board: InventedBoard, name: str = "case") -> InventedBlank:
    """A blank that is near the board, sometimes too thin, too flat, or with a hard face in the way."""
    longer = rng.uniform(0.6, 6) * INCH
    length = board.length + longer
    apex = board.bend.apex + rng.uniform(0.2, 0.8) * longer
    nose = float(board.bend(board.length)) + rng.uniform(-0.4, 1.0) * INCH
    tail = float(board.bend(0.0)) + rng.uniform(-0.3, 0.6) * INCH
    bend = bend_to(length, nose, tail, apex, board.bend.two + rng.uniform(-0.004, 0.004))
    face = (None, None, Face.DECK, Face.BOTTOM)[rng.integers(4)]
    numbers = numbers_of(
        name,
        length,
        stringer=Stringer("basswood", float(rng.choice([0, 1, 2, 3])) * INCH / 16),
        price=float(rng.integers(60, 120)),
        on_hand=int(rng.integers(0, 4)),
        hard_face=face,
        hard_most=float(rng.uniform(0.15, 0.6)) * INCH,
        skim_bottom=float(rng.uniform(0, 0.12)) * INCH,
        skim_deck=float(rng.uniform(0, 0.12)) * INCH,
    )
    edge = float(rng.choice([0.0, rng.uniform(0.1, 0.45)]))
    thick = board.thick + rng.uniform(0.0, 0.7) * INCH
    return InventedBlank(numbers, bend, thick, rng.uniform(0, 0.2), 24 * INCH, edge)


def random_blank_of_any_length(rng: np.random.Generator, board: InventedBoard, name: str) -> InventedBlank:
    """A blank from 6 in shorter to 40 in longer than the board."""
    blank = random_blank(rng, board, name)
    length = board.length + rng.uniform(-6, 40) * INCH
    bend = bend_to(length, 5 * INCH, 2.3 * INCH, 0.42 * length, 0.015)
    return replace(blank, numbers=replace(blank.numbers, length=length), bend=bend)


def reference_sets(board, profile, blank: InventedBlank, bay: Bay, slide: float):
    """Lower and upper limits of the line, from the true curves and the rules as MODEL.md states them."""
    x, n = profile.x, blank.numbers
    finish = bay.allowances.finish
    blank_bottom, blank_deck = blank.bottom(x + slide), blank.deck(x + slide)
    bottom, deck = board.pre_contour(x), board.deck_line(x)
    y = board.half_width(x)[:, None] * profile.share
    blank_across = blank_deck[:, None] - blank.dome(x + slide)[:, None] * y**2
    lower = blank_bottom - bottom + max(n.skim_bottom, finish)
    upper = np.min(blank_across - board.deck(x, y), axis=1) - max(n.skim_deck, finish)
    middle = (x >= board.length / 4 - 1e-9) & (x <= 3 * board.length / 4 + 1e-9)
    if n.hard_face is Face.DECK:
        lower = np.where(middle, np.maximum(lower, blank_deck - deck - n.hard_most), lower)
    if n.hard_face is Face.BOTTOM:
        upper = np.where(middle, np.minimum(upper, blank_bottom - bottom + n.hard_most), upper)
    return lower, upper


def highs_line(x, lower, upper, toward):
    """The general solver's best line: ``linprog`` result with lift and tilt, scaled to millimetres."""
    rows = np.column_stack([np.ones_like(x), x])
    keep_low, keep_high = np.isfinite(lower), np.isfinite(upper)
    matrix = np.vstack([-rows[keep_low], rows[keep_high]])
    bound = 1e3 * np.concatenate([-lower[keep_low], upper[keep_high]])
    return linprog(
        np.asarray(toward) / max(np.abs(toward).max(), 1e-300),
        A_ub=matrix,
        b_ub=bound,
        bounds=[(None, None)] * 2,
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )


def highs_gap(x, lower, upper) -> float:
    """The general solver's widest gap between the two sets, metres."""
    rows = np.column_stack([np.ones_like(x), x, np.full_like(x, 0.5)])
    low = rows * [-1, -1, 1]
    keep_low, keep_high = np.isfinite(lower), np.isfinite(upper)
    found = linprog(
        [0, 0, -1],
        A_ub=np.vstack([low[keep_low], rows[keep_high]]),
        b_ub=1e3 * np.concatenate([-lower[keep_low], upper[keep_high]]),
        bounds=[(None, None)] * 3,
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    return -1e-3 * float(found.fun)


def random_sets(rng: np.random.Generator):
    """Two bare point sets with weights: rough, smooth, straight, equal, of two stations, with gaps."""
    n = int(rng.choice([2, 3, rng.integers(4, 130)]))
    x = np.sort(rng.uniform(0, 2, n)) + np.arange(n) * 1e-3
    shape = rng.integers(5)
    if shape == 0:
        lower, upper = rng.normal(0, 0.02, (2, n)) + np.array([[0], [rng.normal(0.05, 0.04)]])
    elif shape == 1:
        lower, upper = rng.normal(0, 0.03, (2, 1)) * (x - 1) ** 2 + np.array([[0], [rng.normal(0.0, 0.02)]])
    elif shape == 2:
        lower = rng.normal(0, 0.1) * x
        upper = lower + rng.normal(0.0, 0.02)
    elif shape == 3:
        lower = np.full(n, rng.normal())
        upper = lower + float(rng.choice([0.0, 0.01, -0.01]))
    else:
        lower = np.round(rng.normal(0, 0.01, n), 2)
        upper = np.round(rng.normal(0.03, 0.01, n), 2)
    toward = rng.normal(0, 1, 2)
    toward[rng.integers(2)] *= float(rng.choice([0.0, 1.0, 1.0]))
    return x, lower, upper, toward


@dataclass(frozen=True)
class Difference:
    """How a lay and the general solver differ, metres; `fits` must agree."""

    fits: bool
    reference_fits: bool
    objective: float
    position: float
    violation: float
    gap: float


def difference(x, lower, upper, toward, line) -> Difference:
    """Compare a line with the general solver's on the sets given.

    The objective is divided by its larger weight. The position is compared where the optimum is unique:
    where no other corner of the feasible polygon comes within 1e-7 of the objective, the solver's dual values
    say so; here simply by asking the solver for the extreme tilts among the optimal ones.
    """
    fits = line.status == 0
    scale = max(np.abs(toward).max(), 1e-300)
    found = highs_line(x, lower, upper, toward)
    miss = max(
        float(np.max(lower - line.lift - line.tilt * x)), float(np.max(line.lift + line.tilt * x - upper))
    )
    objective = position = gap = 0.0
    if fits and found.status == 0:
        objective = abs(float(np.dot(toward, [line.lift, line.tilt])) / scale - 1e-3 * found.fun)
        position = unique_distance(x, lower, upper, toward / scale, line, found)
    if not fits:
        gap = abs(highs_gap(x, lower, upper) - line.gap)
        miss -= -0.5 * line.gap
    return Difference(fits, found.status == 0, objective, position, miss, gap)


def unique_distance(x, lower, upper, toward, line, found) -> float:
    """Distance between both answers, tips compared; 0 where several answers are equally good."""
    tips = x[[0, -1]]
    apart = float(np.max(np.abs(line.lift + line.tilt * tips - 1e-3 * (found.x[0] + found.x[1] * tips))))
    if apart < 1e-9:
        return apart
    # Both are optimal to rounding: if the line between them is too, the optimum is an edge, not a corner.
    halfway = 0.5 * (np.array([line.lift, line.tilt]) + 1e-3 * found.x)
    best = float(np.dot(toward, [line.lift, line.tilt]))
    heights = halfway[0] + halfway[1] * x
    on_edge = abs(float(np.dot(toward, halfway)) - best) < 1e-12
    inside = np.all(heights >= lower - 1e-12) and np.all(heights <= upper + 1e-12)
    return 0.0 if on_edge and inside else apart


@dataclass(frozen=True)
class Case:
    """One board in one blank at one slide: the reference's sets and weights, and the kernel's answer."""

    x: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    toward: np.ndarray
    line: Line
    limits: Limits


def random_case(rng: np.random.Generator, bay: Bay) -> Case:
    """A random board in a random blank at a random slide, laid by the survey's own kernel."""
    board = random_board(rng)
    blank = random_blank(rng, board)
    profile, rack = profile_of_board(board), Rack((profile_of_blank(blank),))
    slide = rng.uniform(bay.allowances.saw, blank.length - board.length - bay.allowances.saw)
    outers, kinds = rack.outers(bay)
    inner = inner_of(profile, kinds, bay)
    out = np.empty(7)
    place(inner, one_of(inner, outers, 0), slide, room_for(profile.x.size), out)
    rates = reference_rates(board, profile, blank, bay)
    difference = profile.weight * (rates[0] - rates[1])
    return Case(
        profile.x,
        *reference_sets(board, profile, blank, bay, slide),
        np.array([difference.sum(), difference @ profile.x]),
        Line(int(out[STATUS]), out[LIFT], out[TILT], out[GAP]),
        limits_at(profile, rack.blanks[0].at(profile.x + slide), allowed_of(blank.numbers, bay)),
    )


def reference_rates(board, profile, blank: InventedBlank, bay: Bay):
    """Minutes per square metre on bottom and deck, as lay/rates.py states them."""
    x, n, rates, plane = profile.x, blank.numbers, bay.rates, bay.planes[0]
    # Without a stringer the middle line is planed in foam, at half of what one of 1/8 in takes.
    wood = rates.stringer * max(n.stringer.width / (INCH / 8), 0.5)
    foam = rates.foam * (2 * board.half_width(x) + 2 * bay.allowances.saw)
    both = []
    for face, hollow in ((Face.BOTTOM, -board.bottom_curvature(x)), (Face.DECK, board.deck_curvature(x))):
        chip = max(plane.chips)
        left = chip - np.maximum(hollow, 0) * plane.mouth * (plane.sole - plane.mouth) / 2
        with np.errstate(divide="ignore"):
            slower = np.where(left > 0, np.minimum(chip / left, rates.hollow), rates.hollow)
        planing = slower * (wood + foam * (rates.hard if n.hard_face is face else 1))
        both.append(planing + reference_looking(profile, rates))
    return both


def reference_looking(profile, rates):
    """A strip and a reading every 8 in for each eighth; a stop for each eighth in the last 3 in of a tip."""
    eighth, x, out = INCH / 8, profile.x, []
    first, last = (x <= 3 * INCH).nonzero()[0], (x >= x[-1] - 3 * INCH).nonzero()[0]
    for n in range(x.size):
        own = rates.strip / eighth + rates.reading / (8 * INCH * eighth)
        for tip in (first, last):
            if n in tip:
                own += rates.stop / eighth / profile.weight[tip].sum()
        out.append(own)
    return np.array(out)


def plain_board() -> InventedBoard:
    """A 6'4" board."""
    length = 76 * INCH
    bend = bend_to(length, 4.75 * INCH, 2.1 * INCH, 32 * INCH, 0.02)
    return InventedBoard(length, bend, 2.5 * INCH, 0.25, 20.4 * INCH)


def plain_blank(longer: float = 4 * INCH, **changes) -> InventedBlank:
    """A square blank of 2 3/4 in that takes the plain board."""
    board = plain_board()
    length = board.length + longer
    bend = bend_to(length, 5 * INCH, 2.3 * INCH, 32 * INCH + 0.5 * longer, 0.02)
    return InventedBlank(numbers_of("plain", length, **changes), bend, 2.75 * INCH, 0.0, 24 * INCH, 0.0)


@dataclass(frozen=True)
class ShiftedBlank(InventedBlank):
    """A blank that follows a board exactly, moved by a slide, with a little foam to spare."""

    board: InventedBoard = None
    slide: float = 0.0
    spare: float = 0.0

    def bottom(self, x):
        return self.board.bend(np.asarray(x) - self.slide)

    def deck(self, x):
        skims = self.numbers.skim_bottom + self.numbers.skim_deck
        return self.board.deck_line(np.asarray(x) - self.slide) + skims + self.spare


def shifted_blank(board: InventedBoard, slide: float, spare: float) -> ShiftedBlank:
    """A blank two inches longer than the board that takes it at one slide only."""
    numbers = numbers_of("shifted", board.length + 2 * INCH)
    return ShiftedBlank(numbers, board.bend, 0.0, 0.0, 24 * INCH, 0.0, board, slide, spare)


def flat_blank(board: InventedBoard, thick: float, **changes) -> InventedBlank:
    """A square blank of one thickness with the board's own rocker."""
    longer = 2 * INCH
    bend = Bend(board.bend.apex + 0.5 * longer, board.bend.two, board.bend.three, board.bend.four)
    return InventedBlank(
        numbers_of("flat", board.length + longer, **changes), bend, thick, 0.0, 24 * INCH, 0.0
    )


@dataclass(frozen=True)
class BentBlank(InventedBlank):
    """A blank with its nose or its tail bent up or down from the middle on."""

    nose: float = 0.0
    tail: float = 0.0

    def bottom(self, x):
        v = 2 * np.asarray(x, dtype=float) / self.length - 1
        return self.bend(x) + self.nose * np.maximum(v, 0) ** 3 + self.tail * np.maximum(-v, 0) ** 3

    def deck(self, x):
        return self.bottom(x) + self.thick
