"""A board and its rider in the water as outlines to scale, seen from the side, the water level at 0."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import Floats, dense
from foamwright.water.afloat import Afloat
from foamwright.water.ellipsoid import Ellipsoid

STATIONS = 60
ROUND = 48


@dataclass(frozen=True, eq=False)
class Outline:
    """A closed outline: its `name`, and (N, 2) metres forward of the tail tip and above the water."""

    name: str
    points: Floats


@dataclass(frozen=True, slots=True)
class Spot:
    """A point worth a label: `name`, metres `forward` and `above` the water."""

    name: str
    forward: float
    above: float


@dataclass(frozen=True, eq=False)
class WaterPicture:
    """What to draw of a board and a rider at rest, seen from the right, the nose to the right.

    Attributes
    ----------
    board
        Profile at the stringer.
    rider
        Segments, those farther away first.
    spots
        Nose, tail, breastbone; the centres of mass and of buoyancy.
    """

    board: Outline
    rider: tuple[Outline, ...]
    spots: tuple[Spot, ...]


def picture_of(afloat: Afloat) -> WaterPicture:
    """Return what to draw of a board and its rider at rest."""
    view = _View(afloat)
    board = afloat.craft.board
    x = dense(np.linspace(0.0, board.length, STATIONS + 1), 1)
    bottom, deck = (np.stack([x, 0.0 * x, z(x)], axis=1) for z in (board.rocker, board.deck_line))
    profile = Outline("board", view.seen(np.concatenate([bottom, deck[::-1]])))
    segments = sorted(afloat.rider.segments, key=lambda s: -float(s.shape.centre[1]))
    rider = tuple(Outline(s.name, view.ellipse(s.shape)) for s in segments)
    spots = (
        view.spot("nose", deck[-1]),
        view.spot("tail", deck[0]),
        view.spot("breastbone", afloat.rider.breastbone),
        view.spot("centre of mass", (afloat.craft.load + afloat.rider.load).centre),
        view.spot("centre of buoyancy", afloat.rest.pool.centre),
    )
    return WaterPicture(profile, rider, spots)


class _View:
    """The board's frame seen from the side in the world."""

    def __init__(self, afloat: Afloat) -> None:
        surface = afloat.rest.surface
        up = surface.up
        forward = np.array([1.0, 0.0, 0.0]) - up[0] * up
        self._axes = np.stack([forward / np.linalg.norm(forward), up])
        tail = np.array([0.0, 0.0, float(afloat.craft.board.deck_line(0.0))])
        self._start = np.array([float(self._axes[0] @ tail), surface.height * float(up[2])])

    def seen(self, points: Floats) -> Floats:
        """Points (N, 3) as (N, 2)."""
        return np.asarray(points @ self._axes.T - self._start)

    def spot(self, name: str, point: Floats) -> Spot:
        forward, above = self.seen(point[None, :])[0]
        return Spot(name, float(forward), float(above))

    def ellipse(self, shape: Ellipsoid) -> Floats:
        """The outline of an ellipsoid, (N, 2): the ellipse whose half-axes' square is ``M M^T``."""
        seen = self._axes @ shape.axes
        angle = np.linspace(0.0, 2.0 * np.pi, ROUND, endpoint=False)
        circle = np.stack([np.cos(angle), np.sin(angle)], axis=1)
        return np.asarray(self.seen(shape.centre[None, :]) + circle @ np.linalg.cholesky(seen @ seen.T).T)
