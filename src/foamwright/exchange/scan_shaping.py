"""The numbers that no single place of a scan shows: the form of its tail, its wide and its thickest point.

They are those with which the sheet's own fair curves come nearest to all that was measured.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from foamwright.board.numbers import BoardNumbers, Tail, TailKind
from foamwright.board.outline import outline_of
from foamwright.exchange.scan_measure import Measured
from foamwright.exchange.scan_tips import End
from foamwright.shape.curves import Floats
from foamwright.shape.fair import UnfairError
from foamwright.shape.trade_curves import Point, domed

SQUASH_CORNER = 0.024
"""Metres: a block with rounder corners is called a squash tail. Common practice, no source."""

AFT = 0.3
"""Metres at the tail whose outline says which form it has."""

SPREAD = 0.0015
"""Metres: a section that is farther off counts no more for it."""

CLEARLY = 0.5
"""A diamond has two more numbers than a pin; it must come so much nearer to be one."""

EVALUATIONS = 70
ALONG = 61

Numbers = Callable[[Floats], BoardNumbers]


def shaped(numbers: BoardNumbers, measured: Measured) -> BoardNumbers:
    """Return the numbers with the tail, the wide point and the thickest point that fit the scan best."""
    return _thickest(_widest(_tailed(numbers, measured), measured), measured)


def _tailed(numbers: BoardNumbers, measured: Measured) -> BoardNumbers:
    """The tail's form and its own numbers."""
    aft = [s for s in measured.sections if s.x < AFT]
    x, half = np.array([s.x for s in aft]), np.array([s.half_width for s in aft])
    misfit = _outline_misfit(x, half)
    width = 2.0 * float(np.min(half[:3]))
    if measured.tail.kind is End.NOTCH:
        return _least(
            misfit, lambda p: _with(numbers, Tail(TailKind.SWALLOW, depth=numbers.tail.depth), p[0]), [width]
        )
    if measured.tail.kind is End.BLOCK:
        return _block(numbers, misfit, width)
    pointed = [
        _with(numbers, Tail(kind), 0.0) for kind in (TailKind.ROUND, TailKind.ROUNDED_PIN, TailKind.PIN)
    ]
    diamond = _least(
        misfit,
        lambda p: _with(numbers, Tail(TailKind.DIAMOND, depth=float(np.clip(p[1], 0.03, 0.2))), p[0]),
        [0.13, 0.06],
    )
    best = min(pointed, key=misfit)
    return diamond if misfit(diamond) < CLEARLY * misfit(best) else best


def _block(numbers: BoardNumbers, misfit: Callable[[BoardNumbers], float], width: float) -> BoardNumbers:
    def made(p: Floats) -> BoardNumbers:
        radius = float(np.clip(p[1], 0.0, 0.06))
        return _with(numbers, Tail(TailKind.SQUASH, corner_radius=radius), p[0])

    found = min((_least(misfit, made, [width + 0.02, r]) for r in (0.004, 0.03)), key=misfit)
    kind = TailKind.SQUASH if found.tail.corner_radius >= SQUASH_CORNER else TailKind.SQUARE
    return replace(found, tail=replace(found.tail, kind=kind))


def _with(numbers: BoardNumbers, tail: Tail, width: float) -> BoardNumbers:
    first = replace(numbers.outline[0], value=float(np.clip(width, 0.0, 0.4)))
    return replace(numbers, tail=tail, outline=(first, *numbers.outline[1:]))


def _widest(numbers: BoardNumbers, measured: Measured) -> BoardNumbers:
    """The wide point's station; widths there hardly change, so it is found from the whole outline."""
    x = np.linspace(0.12 * measured.length, 0.88 * measured.length, ALONG)
    misfit = _outline_misfit(x, measured.half_width(x))
    return _least_of_one(
        misfit, lambda at: replace(numbers, wide_at=at), numbers.wide_at or measured.length / 2.0
    )


def _thickest(numbers: BoardNumbers, measured: Measured) -> BoardNumbers:
    x = np.linspace(0.02 * measured.length, 0.98 * measured.length, ALONG)
    wanted = measured.thickness(x)

    def misfit(tried: BoardNumbers) -> float:
        points = tuple(Point(m.x, m.value, m.place) for m in tried.thickness)
        try:
            curve = domed(points, tried.thickest, tried.thickest_at).curve
        except UnfairError as unfair:
            return 1.0 + abs(unfair.moves[0].amount)
        return float(np.mean(np.abs(curve(x) - wanted)))

    start = numbers.thickest_at or measured.length / 2.0
    return _least_of_one(misfit, lambda at: replace(numbers, thickest_at=at), start)


def _outline_misfit(x: Floats, half: Floats) -> Callable[[BoardNumbers], float]:
    def misfit(tried: BoardNumbers) -> float:
        try:
            off = np.abs(outline_of(tried).half_width(x) - half)
        except UnfairError as unfair:
            return 1.0 + abs(unfair.moves[0].amount)
        return float(np.mean(np.minimum(off, SPREAD) + 0.05 * off))

    return misfit


def _least(misfit: Callable[[BoardNumbers], float], made: Numbers, start: list[float]) -> BoardNumbers:
    from scipy.optimize import minimize

    found = minimize(
        lambda p: misfit(made(p)),
        np.array(start),
        method="Nelder-Mead",
        options={"maxfev": EVALUATIONS, "xatol": 1e-4, "fatol": 1e-7, "initial_simplex": _simplex(start)},
    )
    return made(found.x)


def _simplex(start: list[float]) -> Floats:
    corners = np.tile(np.array(start), (len(start) + 1, 1))
    for i in range(len(start)):
        corners[i + 1, i] += 0.008
    return corners


def _least_of_one(
    misfit: Callable[[BoardNumbers], float], made: Callable[[float], BoardNumbers], start: float
) -> BoardNumbers:
    """The best of a few stations around a first guess, then of a few around that."""
    best, reach = start, 0.36
    for _ in range(4):
        tried = best + reach * np.linspace(-1.0, 1.0, 7)
        best = float(tried[int(np.argmin([misfit(made(float(at))) for at in tried]))])
        reach /= 3.0
    return made(best)
