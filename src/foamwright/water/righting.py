"""Righting when rolled: the arm by which weight and buoyancy turn a board back (or over)."""

from __future__ import annotations

from dataclasses import dataclass
from math import tan

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.water.equilibrium import Floating, Rest, float_at_rest
from foamwright.water.pool import Surface


@dataclass(frozen=True, eq=False)
class Righting:
    """The righting arm over angles of roll.

    Attributes
    ----------
    angles
        (N,) roll in radians, left rail up.
    arms
        (N,) metres; above 0 they turn back, below 0 over.
    mass
        kg, so that the moment is ``mass * g * arm``.
    """

    angles: Floats
    arms: Floats
    mass: float


def righting(floating: Floating, angles: Floats) -> Righting:
    """Return the righting arms of a floating body that is held rolled and left free to sink and pitch.

    Parameters
    ----------
    floating
        What floats; it must not sink.
    angles
        (N,) radians, each less than pi/2 either way.
    """
    arms, start = [], Surface(0.0)
    for angle in angles:
        held = Surface(start.height, start.along, -tan(float(angle)))
        start = (rest := float_at_rest(floating, held)).surface
        arms.append(_arm(floating, rest))
    return Righting(np.asarray(angles, dtype=float), np.array(arms), floating.load.mass)


def _arm(floating: Floating, rest: Rest) -> float:
    """Return the level distance across the board from the centre of mass to the centre of buoyancy."""
    up = rest.surface.up
    across = np.array([0.0, 1.0, 0.0]) - up[1] * up
    across /= np.linalg.norm(across)
    lever = float(across @ (rest.pool.centre - floating.load.centre))
    # Left rail up: the water lies deeper on the right (-y), whose buoyancy turns it back.
    return -lever if rest.surface.across <= 0.0 else lever
