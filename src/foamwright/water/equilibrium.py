"""Where a rigid body floats at rest: sinkage, pitch and roll.

The body takes the attitude of least potential energy. With the surface ``z = h + a x + b y``, unit normal
``n`` and ``K(h, a, b) = rho * integral of (h + a x + b y - z) over what is under water - m (h + a X + b Y -
Z)`` for mass `m` centred at (X, Y, Z), the function ``L = K / sqrt(1 + a^2 + b^2)`` has a minimum exactly at
stable rest: its derivative in `h` says that the weight is carried, those in `a` and `b` that the centre of
buoyancy lies under the centre of mass; at rest ``L = m * (height of the centre of mass over the centre of
buoyancy)``. K is convex, its derivatives are the pool's own sums, and Newton's steps need no difference
quotients. Slopes may be held: then rest is sought in the others, which is what a rider who balances does.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from foamwright.errors import FaultError, NoAnswerError
from foamwright.shape.curves import Floats
from foamwright.water.pool import Displacer, Pool, Surface

STEPS = 80
LEVEL = Surface(0.0)
ENOUGH = 1e-11
"""Residual, as a share of the weight (and of weight times length), at which the search ends."""

STEEPEST = 5.0
"""Slope of the surface in the board's frame (79 degrees) beyond which the search gives up."""


class OnEndError(NoAnswerError):
    """It floats, but comes to no rest short of 79 degrees: it stands on end.

    Attributes
    ----------
    pitch
        Radians nose up at which the search gave up.
    """

    def __init__(self, pitch: float) -> None:
        self.pitch = pitch
        super().__init__("It stands on end in the water: no rest short of 79 degrees.")


@dataclass(frozen=True, eq=False)
class Load:
    """Mass in kg and its centre (3,) in the board's frame."""

    mass: float
    centre: Floats

    def __add__(self, other: Load) -> Load:
        """Return both as one."""
        mass = self.mass + other.mass
        return Load(mass, (self.mass * self.centre + other.mass * other.centre) / mass)


@dataclass(frozen=True, eq=False)
class Floating:
    """A load on something that displaces water, in water of a density.

    Attributes
    ----------
    body
        What displaces.
    load
        All that weighs.
    density
        kg/m3 of the water.
    """

    body: Displacer
    load: Load
    density: float

    @property
    def sinks(self) -> bool:
        """Whether it is heavier than all the water it can push away."""
        return self.load.mass >= self.density * self.body.volume


@dataclass(frozen=True, eq=False)
class Rest:
    """A floating body at rest.

    Attributes
    ----------
    surface
        The water's surface in the board's frame.
    pool
        What is under it.
    residual
        Weight less buoyancy, and the moments left (divided by a metre), as shares of the weight, (3,).
    stiffness
        (2, 2) growth of the righting moment with pitch and roll slopes, N m per unit of slope and
        per 9.80665 m/s2, so kg m; stable where both its eigenvalues are above 0.
    """

    surface: Surface
    pool: Pool
    residual: Floats
    stiffness: Floats

    @property
    def pitch(self) -> float:
        """Nose up, radians."""
        return float(np.arctan(-self.surface.along))

    @property
    def stable(self) -> tuple[bool, bool]:
        """Whether it rights itself in pitch, and in roll."""
        return bool(self.stiffness[0, 0] > 0.0), bool(self.stiffness[1, 1] > 0.0)


def float_at_rest(
    floating: Floating, start: Surface = LEVEL, free: tuple[bool, bool] = (True, False)
) -> Rest:
    """Return where a floating body comes to rest.

    Parameters
    ----------
    floating
        The body; it must not sink.
    start
        Surface from which the search starts; its slopes hold where they are not free.
    free
        Whether pitch, and whether roll, find their own rest. Roll is held by default: a rider balances.

    Raises
    ------
    OnEndError
        It stands on end.
    FaultError
        It sinks (ask before), or no rest was found.
    """
    if floating.sinks:
        raise FaultError("a body that sinks has no place of rest; this should have been asked before")
    active = np.array([True, *free])
    here = _Trial(floating, _level(floating, start, 1e-4 if any(free) else 1e-15))
    if not any(free):
        return _rest(here)
    for _ in range(STEPS):
        if np.max(np.abs(here.slope[active])) < ENOUGH * floating.load.mass:
            return _rest(here)
        here = _stepped(here, active)
    raise FaultError("no place of rest was found in the water")


def _level(floating: Floating, start: Surface, tolerance: float) -> Floats:
    """Return the start with a height at which the weight is carried (the volume grows with the height)."""

    def excess(height: float) -> float:
        volume = floating.body.pool(Surface(height, start.along, start.across)).volume
        return volume * floating.density / floating.load.mass - 1.0

    low, high = start.height - 0.5, start.height + 0.5
    while excess(low) >= 0.0:
        low -= 2.0 * (high - low)
    while excess(high) <= 0.0:
        high += 2.0 * (high - low)
    height = float(brentq(excess, low, high, xtol=tolerance, rtol=1e-15))
    return np.array([height, start.along, start.across])


class _Trial:
    """The potential ``L = K / s``, its slope (3,) and its bend (3, 3), at one surface."""

    def __init__(self, floating: Floating, values: Floats) -> None:
        self.floating, self.values = floating, values
        self.surface = Surface(float(values[0]), float(values[1]), float(values[2]))
        self.pool = floating.body.pool(self.surface)
        self.size = float(np.sqrt(1.0 + values[1:] @ values[1:]))
        self.lean = np.array([0.0, *values[1:]]) / self.size

    @cached_property
    def work(self) -> float:
        """``K``."""
        pool, load, values = self.pool, self.floating.load, self.values
        carried = values[0] * pool.volume + values[1:] @ pool.moment[:2] - pool.moment[2]
        raised = values[0] + values[1:] @ load.centre[:2] - load.centre[2]
        return float(self.floating.density * carried - load.mass * raised)

    @property
    def potential(self) -> float:
        return self.work / self.size

    @cached_property
    def first(self) -> Floats:
        """Derivatives of K."""
        load, wet = self.floating.load, np.array([self.pool.volume, *self.pool.moment[:2]])
        return np.asarray(self.floating.density * wet - load.mass * np.array([1.0, *load.centre[:2]]))

    @property
    def slope(self) -> Floats:
        return np.asarray(self.first / self.size - self.work * self.lean / self.size**2)

    @property
    def bend(self) -> Floats:
        pool, size, lean = self.pool, self.size, self.lean
        area = np.array(
            [[pool.area, *pool.first], [pool.first[0], *pool.second[0]], [pool.first[1], *pool.second[1]]]
        )
        turn = (np.diag([0.0, 1.0, 1.0]) - np.outer(lean, lean)) / size
        mixed = np.outer(self.first, lean) + np.outer(lean, self.first)
        twice = 2.0 * np.outer(lean, lean) / size**3 - turn / size**2
        return np.asarray(self.floating.density * area / size - mixed / size**2 + self.work * twice)


def _stepped(here: _Trial, active: Floats) -> _Trial:
    """Return the next trial: Newton's step made downhill, halved until the potential falls."""
    slope = here.slope[active]
    step = np.zeros(3)
    step[active] = -np.linalg.solve(_downhill(here.bend[np.ix_(active, active)]), slope)
    expected = float(step[active] @ slope)
    share = min(1.0, 0.3 / max(float(np.max(np.abs(step[1:]))), 1e-12))
    while True:
        there = _Trial(here.floating, here.values + share * step)
        allowed = here.potential + 1e-4 * share * expected
        # So near to rest the fall is lost in the rounding of the sums, and Newton's step is better than they.
        if there.potential <= allowed or -expected < 1e-8 * abs(here.potential) or share < 1e-9:
            break
        share *= 0.5
    if np.max(np.abs(there.values[1:])) > STEEPEST:
        raise OnEndError(float(np.arctan(-there.values[1])))
    return there


def _downhill(bend: Floats) -> Floats:
    """Return the bend with its eigenvalues made positive, so that a step goes towards a minimum."""
    values, vectors = np.linalg.eigh(bend)
    floor = 1e-6 * max(float(np.max(np.abs(values))), 1e-9)
    return np.asarray(vectors @ np.diag(np.maximum(np.abs(values), floor)) @ vectors.T)


def _rest(trial: _Trial) -> Rest:
    bend = trial.bend
    # At constant weight: what is left of the bend when the height follows the slopes.
    stiffness = bend[1:, 1:] - np.outer(bend[1:, 0], bend[0, 1:]) / bend[0, 0]
    return Rest(trial.surface, trial.pool, trial.slope / trial.floating.load.mass, stiffness)
