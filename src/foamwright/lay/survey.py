"""The survey: every blank of a rack tried at every slide, best first."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay, most_slide
from foamwright.lay.profiles import BoardProfile, Floats, held
from foamwright.lay.rack import Rack, inner_of
from foamwright.shape.kernels import sliding_fit as kernel
from foamwright.shape.kernels.line_between import FITS, NONE_FITS
from foamwright.units import INCH


class Order(StrEnum):
    """What makes a blank the best of those that fit and are on hand.

    COST
        Its price and the work on it at the bay's price of labour. So a blank three feet too long, which may
        happen to curve well, does not beat the one that was made for the job.
    WORK
        The work alone.
    """

    COST = "cost"
    WORK = "work"


STEP = INCH / 8
"""Grid of slides that are tried."""

WORKERS = 2
"""Threads of a survey; each blank is worked by one, so their number changes nothing in the result."""


@dataclass(frozen=True, eq=False)
class Survey:
    """All blanks for one board, best first.

    Blanks that fit and are on hand come first, in the `Order` asked for; then those that fit and are not on
    hand; then those that fail, the nearest miss first. Equals go by price, then by name.
    """

    choices: tuple[Choice, ...]

    @property
    def best(self) -> Choice | None:
        """The first choice, if it fits."""
        return self.choices[0] if self.choices and self.choices[0].fits else None

    def of(self, blank_id: str) -> Choice:
        """Return the choice of the blank with this name.

        Raises
        ------
        KeyError
            No blank has the name.
        """
        for choice in self.choices:
            if choice.id == blank_id:
                return choice
        raise KeyError(blank_id)


def survey(
    board: BoardProfile,
    rack: Rack,
    bay: Bay,
    *,
    order: Order = Order.COST,
    step: float = STEP,
    workers: int = WORKERS,
) -> Survey:
    """Return every blank of the rack with its best lay, ranked.

    At each slide of a grid over the whole feasible range the best lay is exact; the best slide is then
    bettered to the marks of the bay's tape. Where the grid finds nothing but comes near, the space between
    its slides is searched as well.

    Parameters
    ----------
    board
        The board, before its contours.
    rack
        The blanks.
    bay
        Rates, allowances, tape.
    order
        What the best is.
    step
        Grid of slides, metres.
    workers
        Threads.

    Returns
    -------
    Survey
        Deterministic, whatever `workers` is.
    """
    if not rack.blanks:
        return Survey(())
    outers, kinds = rack.outers(bay)
    inner = inner_of(board, kinds, bay)
    starts, slides = _slides(board, rack, bay, step)
    grid = np.full((slides.size, 7), np.nan)
    grid[:, kernel.SLIDE] = slides
    bests = np.full((len(rack.blanks), 7), np.nan)
    tape = INCH / bay.tape.fraction

    def work(begin: int, end: int) -> None:
        some = outers._replace(
            **{n: getattr(outers, n)[begin:end] for n in ("first", "rows", "spacing", "skim", "most", "kind")}
        )
        kernel.survey_slides(inner, some, starts[begin : end + 1], grid, bests[begin:end], tape)

    _shared_out(work, starts, workers)
    free = held(np.full(board.x.size, -np.inf)), held(np.full(board.x.size, np.inf))
    lays = [_lay(best) for best in bests.tolist()]
    choices = [
        Choice(board, blank, bay, best[1], best[0], grid[a:b], *free)
        for blank, best, a, b in zip(
            rack.blanks, lays, starts[:-1].tolist(), starts[1:].tolist(), strict=True
        )
    ]
    ranked = sorted(range(len(choices)), key=lambda n: _rank(choices[n], bests[n], order))
    return Survey(tuple(choices[n] for n in ranked))


def _lay(best: list[float]) -> tuple[Lay | None, bool]:
    """Return the lay of a kernel's result, if a line was looked for, and whether it fits."""
    status = best[kernel.STATUS]
    if status not in (FITS, NONE_FITS):
        return None, False
    return Lay(best[kernel.SLIDE], best[kernel.LIFT], best[kernel.TILT]), status == FITS


def _slides(board: BoardProfile, rack: Rack, bay: Bay, step: float) -> tuple[kernel.Indices, Floats]:
    """Return where each blank's slides begin, and all slides: multiples of `step`, and both ends."""
    least = bay.allowances.saw
    most = np.array([most_slide(length, board.length, least) for length in rack.length.tolist()])
    first = np.floor(least / step + 1e-6) + 1.0
    inside = np.maximum(np.ceil(most / step - 1e-6) - first, 0.0).astype(np.int64)
    counts = inside + (most >= least) + (most > least)
    starts = np.zeros(most.size + 1, dtype=np.int64)
    np.cumsum(counts, out=starts[1:])
    within = np.arange(starts[-1]) - np.repeat(starts[:-1], counts)
    slides = np.where(within == 0, least, step * (first + within - 1))
    ends = starts[1:][most > least] - 1
    slides[ends] = most[most > least]
    return starts, slides


def _shared_out(work: Callable[[int, int], None], starts: kernel.Indices, workers: int) -> None:
    """Split the blanks into runs of about as many slides each, one for each thread."""
    blanks = starts.size - 1
    cuts = np.searchsorted(starts, np.linspace(0, starts[-1], workers + 1)[1:-1])
    ends = [0, *np.clip(cuts, 0, blanks).tolist(), blanks]
    if workers == 1 or blanks < 2 * workers:
        return work(0, blanks)
    with ThreadPoolExecutor(workers) as pool:
        list(pool.map(work, ends[:-1], ends[1:]))
    return None


def _rank(choice: Choice, best: Floats, order: Order) -> tuple[float, float, float, float, str]:
    """Return what the choices are sorted by."""
    numbers = choice.numbers
    if choice.fits:
        missing = 0.0 if numbers.on_hand > 0 else 1.0
        work = float(best[kernel.COST])
        labour = work / 60.0 * choice.bay.prices.labour_hour
        first = work if order is Order.WORK else labour + numbers.price
        return missing, round(first, 6), numbers.price, 0.0, numbers.id
    if choice.lay is not None:
        return 2.0, -float(best[kernel.GAP]), numbers.price, 0.0, numbers.id
    if choice.grid.size:
        return 3.0, -float(best[kernel.MARGIN]), numbers.price, 0.0, numbers.id
    return 4.0, choice.board.length - choice.blank.length, numbers.price, 0.0, numbers.id
