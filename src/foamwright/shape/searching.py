"""Where a free point (apex, top, widest) makes the curve fairest: a search that proves what it skips."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from foamwright.shape.curves import FairCurve
from foamwright.shape.fair import UnfairError
from foamwright.shape.programs import Program

TRIALS = 13
"""Places tried over the bracket before the best is refined."""

TOLD = 5
"""Places tried for the nearest curve when no place has one."""


def fairest_place(
    program_at: Callable[[float], Program], bracket: tuple[float, float], settle: float
) -> float | None:
    """Return the place whose program has the least energy, or ``None`` when none has an answer.

    Parameters
    ----------
    program_at
        The program with the free point at a place.
    bracket
        Lowest and highest place.
    settle
        The answer is a whole multiple of this (or one of the trials), so that it does not depend on the
        last bits of the energy.
    """
    trials = [float(t) for t in np.linspace(*bracket, TRIALS)]
    best, energy = _best_trial(program_at, trials)
    if best is None:
        return None
    between = (trials[max(best - 1, 0)], trials[min(best + 1, TRIALS - 1)])

    def energy_at(place: float) -> float:
        return _energy(program_at(place), np.inf)

    found = lowest(energy_at, between, (trials[best], energy), settle / 2.0)
    place = float(np.rint(found / settle) * settle)
    return place if energy_at(place) <= energy else trials[best]


def _best_trial(program_at: Callable[[float], Program], trials: list[float]) -> tuple[int | None, float]:
    """Return the trial of least energy; those whose relaxed energy is already higher are not solved."""
    programs = [program_at(t) for t in trials]
    bounds = [p.energy_of(p.relaxed) for p in programs]
    best, least = None, np.inf
    for index in np.argsort(bounds, kind="stable"):
        if bounds[index] >= least:
            break
        energy = _energy(programs[index], least)
        if energy < least:
            best, least = int(index), energy
    return best, least


def _energy(program: Program, limit: float) -> float:
    unknowns = program.solved(limit)
    return np.inf if unknowns is None else program.energy_of(unknowns)


GOLDEN = (3.0 - np.sqrt(5.0)) / 2.0


def lowest(
    function: Callable[[float], float],
    bracket: tuple[float, float],
    known: tuple[float, float],
    tolerance: float,
) -> float:
    """Return the minimiser within `bracket`, by parabolas where they help and golden sections elsewhere.

    Parameters
    ----------
    function
        One valley within the bracket; may be infinite.
    bracket
        Lowest and highest place.
    known
        A place within the bracket and its value, where the search starts.
    tolerance
        The answer is this near to the minimiser.

    Notes
    -----
    Source: Brent, Algorithms for Minimization without Derivatives, 1973, chapter 5 (localmin).
    """
    low, high = bracket
    (x, fx), (w, fw), (v, fv) = known, known, known
    step = before = 0.0
    while abs(x - (low + high) / 2.0) > 2.0 * tolerance - (high - low) / 2.0:
        before, last = step, before
        step = _parabola((x, fx), (w, fw), (v, fv))
        if not (low < x + step < high and abs(step) < abs(last) / 2.0):
            before = (high if x < (low + high) / 2.0 else low) - x
            step = GOLDEN * before
        if min(x + step - low, high - x - step) < 2.0 * tolerance:
            step = float(np.copysign(tolerance, (low + high) / 2.0 - x))
        step = step if abs(step) >= tolerance else float(np.copysign(tolerance, step))
        at = x + step
        value = function(at)
        low, high = _narrowed((low, high), (x, fx), (at, value))
        if value <= fx:
            (v, fv), (w, fw), (x, fx) = (w, fw), (x, fx), (at, value)
        elif value <= fw or w == x:
            (v, fv), (w, fw) = (w, fw), (at, value)
        elif value <= fv or v in (x, w):
            v, fv = at, value
    return x


def _parabola(best: tuple[float, float], second: tuple[float, float], third: tuple[float, float]) -> float:
    """Return the step from the best place to the bottom of the parabola through three (infinite: none)."""
    (x, fx), (w, fw), (v, fv) = best, second, third
    if not np.isfinite(fw + fv):
        return np.inf
    r, q = (x - w) * (fx - fv), (x - v) * (fx - fw)
    divisor = 2.0 * (q - r)
    return np.inf if divisor == 0.0 else ((x - w) * r - (x - v) * q) / divisor


def _narrowed(
    bracket: tuple[float, float], best: tuple[float, float], tried: tuple[float, float]
) -> tuple[float, float]:
    """Return the bracket cut at the worse of the two places."""
    low, high = bracket
    cut = best[0] if tried[1] <= best[1] else tried[0]
    keep = tried[0] if tried[1] <= best[1] else best[0]
    return (cut, high) if keep > cut else (low, cut)


def least_unfair(solve_at: Callable[[float], FairCurve], bracket: tuple[float, float]) -> UnfairError:
    """Return the failure whose given numbers would have to move least in all."""
    failures = []
    for place in np.linspace(*bracket, TOLD):
        try:
            solve_at(float(place))
        except UnfairError as failure:
            failures.append(failure)
    return min(failures, key=lambda failure: sum(abs(move.amount) for move in failure.moves))
