"""Every expected board laid in every candidate blank, over all slides; the cells of the cost matrix."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.blank.numbers import BlankNumbers
from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BoardNumbers
from foamwright.lay.limits import most_slide
from foamwright.lay.profiles import BlankProfile, BoardProfile, Floats, profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack, inner_of
from foamwright.lay.rates import looking_rates, steady_minutes
from foamwright.shape.kernels import sliding_fit as kernel
from foamwright.shape.kernels.line_between import FITS, NONE_FITS
from foamwright.shape.solid import volume
from foamwright.units import INCH

STEP = INCH / 4
"""Grid of slides that are tried; the best is then bettered to the marks of the tape."""

WORK, SLIDE, LIFT, TILT, FATE = range(5)
"""Columns of a cell: minutes, the lay (metres, metres, radians), and what became of it."""

FITTED, NO_ROOM, NARROW, SHORT = 0.0, float(NONE_FITS), float(kernel.TOO_NARROW), 4.0
"""Fates: the board lies in the blank; the foam does not hold it; the outline does not; too short."""

ALONG, ACROSS = 6, 10
"""Quadrature of a board's volume; within 1e-4 of the full one, which waste in litres bears."""


@dataclass(frozen=True, eq=False)
class Laid:
    """Some boards laid in all blanks.

    Attributes
    ----------
    cells
        (boards, blanks, 5) columns `WORK` to `FATE`; NaN where there is no lay.
    volume
        (boards,) of the finished boards, m3.
    to_order
        (boards, 2) work (minutes) and foam (m3) of a blank made to order for each board.
    slides
        How many lays were tried on the grid.
    """

    cells: Floats
    volume: Floats
    to_order: Floats
    slides: int


@dataclass(frozen=True, slots=True)
class Allowance:
    """What a blank made to order leaves around a board: metres at the tips, sides, and on each face."""

    tips: float = INCH
    sides: float = INCH / 2
    face: float = INCH / 4


def profiles_of(blanks: Sequence[BlankNumbers]) -> tuple[BlankProfile, ...]:
    """Return blanks as profiles.

    Raises
    ------
    InputError
        The numbers of one of them are no fair blank.
    """
    return tuple(profile_of_blank(blank_of(numbers)) for numbers in blanks)


def foam_in(blank: BlankProfile) -> float:
    """Return the volume of a blank, m3."""
    half = blank.half_width
    section = 2.0 * half * (blank.deck - blank.bottom) - 2.0 / 3.0 * blank.dome * half**3
    return float(np.trapezoid(section, dx=blank.spacing))


def lay_boards(boards: Sequence[BoardNumbers], rack: Rack, bay: Bay, step: float = STEP) -> Laid:
    """Return boards laid in all blanks of a rack, each at its best.

    Parameters
    ----------
    boards
        The boards' numbers.
    rack
        The blanks.
    bay
        Rates, allowances, tape.
    step
        Grid of slides, metres.

    Returns
    -------
    Laid
        Each cell depends on its board and its blank only, so any split of the boards gives the same bits.
    """
    cells = np.full((len(boards), len(rack.blanks), 5), np.nan)
    volumes, orders, slides = np.empty(len(boards)), np.empty((len(boards), 2)), 0
    packed = PackedRack(rack, bay)
    for n, numbers in enumerate(boards):
        board = board_of(numbers)
        profile = profile_of_board(board)
        slides += packed.lay(profile, step, cells[n])
        volumes[n] = board_volume(board)
        orders[n] = made_to_order(profile, bay)
    return Laid(cells, volumes, orders, slides)


class PackedRack:
    """A rack packed once for a bay, for many boards."""

    def __init__(self, rack: Rack, bay: Bay) -> None:
        self.length, self.bay = rack.length, bay
        self.outers, self.kinds = rack.outers(bay)

    def lay(self, board: BoardProfile, step: float, out: Floats) -> int:
        """Lay a board in all blanks; `out` (blanks, 5) gets the cells. Return how many slides were tried."""
        starts, slides = slides_for(board.length, self.length, self.bay.allowances.saw, step)
        grid = np.full((slides.size, 7), np.nan)
        grid[:, kernel.SLIDE] = slides
        best = np.full((self.length.size, 7), np.nan)
        inner = inner_of(board, self.kinds, self.bay)
        kernel.survey_slides(inner, self.outers, starts, grid, best, INCH / self.bay.tape.fraction)
        _set_cells(best, out)
        return int(slides.size)


def _set_cells(best: Floats, out: Floats) -> None:
    fate = best[:, kernel.STATUS]
    out[:, FATE] = np.where(np.isnan(fate), SHORT, fate)
    out[:, SLIDE:FATE] = best[:, [kernel.SLIDE, kernel.LIFT, kernel.TILT]]
    out[:, WORK] = np.where(fate == FITS, best[:, kernel.COST], np.nan)


def board_volume(board: Board) -> float:
    """Return the volume of a board, m3."""
    return volume(board, ALONG, ACROSS)


def slides_for(length: float, blanks: Floats, saw: float, step: float) -> tuple[kernel.Indices, Floats]:
    """Return where each blank's slides begin, and the slides: both ends, and multiples of `step` between.

    Parameters
    ----------
    length
        Of the board, metres.
    blanks
        (B,) lengths of the blanks.
    saw
        Margin at both tips.
    step
        Grid of slides.
    """
    most = np.array([most_slide(blank, length, saw) for blank in blanks.tolist()])
    first = np.floor(saw / step + 1e-6) + 1.0
    between = np.maximum(np.ceil(most / step - 1e-6) - first, 0.0).astype(np.int64)
    counts = between + (most >= saw) + (most > saw)
    starts = np.zeros(most.size + 1, dtype=np.int64)
    np.cumsum(counts, out=starts[1:])
    place = np.arange(starts[-1]) - np.repeat(starts[:-1], counts)
    slides = np.where(place == 0, saw, step * (first + place - 1))
    slides[starts[1:][most > saw] - 1] = most[most > saw]
    return starts, slides


def made_to_order(board: BoardProfile, bay: Bay, allowance: Allowance | None = None) -> tuple[float, float]:
    """Return work (minutes) and foam (m3) of a square blank cut around one board.

    The board lies in it with the same skim on both faces everywhere, so the work is the least that the
    allowance asks for; what stands above the deck towards the rails is on top.
    """
    left = Allowance() if allowance is None else allowance
    depth = left.face * np.sum(board.weight * 2.0 * (board.half_width + bay.allowances.saw))
    crown = float(board.weight @ board.crown)
    planed = bay.rates.foam * (2.0 * float(depth) + crown)
    stringer = bay.rates.stringer * 2.0 * left.face * board.length
    eighths = sum(float(board.weight @ rate) for rate in looking_rates(board, bay.rates).values())
    looking = 2.0 * left.face * eighths + steady_minutes(bay.rates)
    width = 2.0 * (float(np.max(board.half_width)) + left.sides)
    side = float(board.weight @ (board.deck - board.bottom + 2.0 * left.face))
    ends = 2.0 * left.tips * (2.0 * left.face + float(board.deck[0] - board.bottom[0]))
    return planed + stringer + looking, width * (side + ends)
