"""Apprentice trials on boards and stocks that are drawn from the seed, or on a planned job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.bench.store import FolderStore
from foamwright.bench.trial_outcome import tally
from foamwright.bench.trials import Progress, RunsOf, TrialSettings, run_trial
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import read_stock
from foamwright.board.board import board_of
from foamwright.cuts.counting import MARKS
from foamwright.cuts.run import Run
from foamwright.cuts.stage_runs import plan_runs, plan_thickness
from foamwright.demo import demo_path
from foamwright.errors import FaultError, InputError
from foamwright.planning.build import survey_of
from foamwright.stages.solids import chain_of
from foamwright.stocking.demand import expected_boards
from foamwright.units import System

SHAPERS_A_BOARD = 10
"""Shapers that do one board, each with his own hands: planning takes longer than shaping does here."""

BLANKS = 12
"""Blanks of the demo's stock that are on hand for each board, each a little other than in the list."""

THICKER, ROCKERED = 0.03, 0.1
"""Standard deviations of a drawn blank's thickness and rocker about the listed ones, shares."""

MOST_DRAWS = 50
"""Boards drawn in vain, because nothing on hand fits, before something is wrong."""


def try_apprentices(
    job: Path | None, settings: TrialSettings, progress: Progress | None
) -> dict[str, object]:
    """Return the tally of simulated shapers as plain values.

    Parameters
    ----------
    job
        Folder of a planned job that all of them do; ``None``: boards and stocks drawn from the seed.
    settings, progress
        What is tried, and who is told how far it is.

    Raises
    ------
    InputError
        The folder is no job; the gauge is too coarse for the papers.
    """
    outcome = tally(run_trial(runs_from(job, settings.seed), settings, progress))
    return {"seed": settings.seed, "flow": settings.flow.value, "errors": asdict(settings.errors), **outcome}


def runs_from(job: Path | None, seed: int) -> RunsOf:
    """Return what gives a shaper's runs."""
    if job is not None:
        own = tuple(one.run for one in FolderStore(job).plan().runs)
        return lambda _: own
    drawn = lru_cache(maxsize=4)(lambda number: drawn_runs(seed, number))
    return lambda shaper: drawn(shaper // SHAPERS_A_BOARD)


def drawn_runs(seed: int, number: int) -> Sequence[Run]:
    """Return the runs of a board and a stock that are drawn: they depend on seed and number alone."""
    bay = Bay()
    for attempt in range(MOST_DRAWS):
        draw = seed * 1_000_003 + number * 1009 + attempt
        try:
            board = board_of(expected_boards(1, draw)[0].board)
            blanks = _stock(np.random.default_rng([draw, 7]), board.length)
            choice = next((one for one in survey_of(board, blanks, bay).choices if one.fits), None)
            if choice is None:
                continue
            blank = next(one for one in blanks if one.id == choice.id)
            chain = chain_of(board, blank, choice.placed, bay.allowances.finish)
            runs = plan_runs(chain, bay, MARKS[System.INCH], plan_thickness(chain, bay, MARKS[System.INCH]))
        except (InputError, FaultError):
            continue
        return runs
    raise FaultError(f"No drawn board of seed {seed} could be planned.")


def _stock(dice: np.random.Generator, length: float) -> tuple[Blank, ...]:
    """Return the drawn blanks that are longer than a board, metres; no other could hold it."""
    listed = _listed()
    chosen = dice.choice(len(listed), size=min(BLANKS, len(listed)), replace=False)
    drawn = [_other(listed[k], dice) for k in chosen]
    return tuple(blank_of(one) for one in drawn if one.length > length)


@lru_cache(maxsize=1)
def _listed() -> tuple[BlankNumbers, ...]:
    return tuple(one for one in read_stock(demo_path("harbour.stock.toml")) if one.on_hand)


def _other(one: BlankNumbers, dice: np.random.Generator) -> BlankNumbers:
    """Return a blank a little other than listed: no two of a mould are alike."""
    thick = 1.0 + THICKER * abs(float(dice.standard_normal()))
    bent = 1.0 + ROCKERED * float(np.clip(dice.standard_normal(), -2.0, 2.0))
    return replace(
        one,
        thickness=tuple(replace(mark, value=mark.value * thick) for mark in one.thickness),
        rocker=tuple(replace(mark, value=mark.value * bent) for mark in one.rocker),
    )
