"""A board as a model to print: made smaller, and sawn into pieces that fit a bed, with keys in them.

The geometry of the pieces is the work of a library for solids of triangles (manifold3d, an extra).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np

from foamwright.errors import FaultError, InputError, Problem
from foamwright.exchange.mesh_files import Surface, welded_surface
from foamwright.exchange.solids import Body
from foamwright.shape.quadrature import low_share

CLEARANCE = 0.15
"""Millimetres around a key in its hole. Common practice of printing, no source."""

KEY_SHARE, KEY_LENGTH = 0.25, 2.5
"""A key's radius in thicknesses of the model where it stands, and its length in radii."""

THICKEST_KEY, THINNEST_KEY = 4.0, 0.75
"""Millimetres of radius: more holds no better, less breaks. Common practice of printing, no source."""

ASIDE = 0.4
"""Where a key stands: this share of the half-width from the stringer, one on each side."""

GAP = 5.0
"""Millimetres between pieces on the bed."""

SIDES = 32
"""Of a key's round."""


@dataclass(frozen=True, slots=True)
class Model:
    """How a model is made: its scale, and the millimetres of the bed (`None`: in one piece)."""

    scale: float = 1.0
    bed: float | None = None


@dataclass(frozen=True, slots=True)
class _Key:
    """A pin of the piece towards the tail: millimetres of the model."""

    x: float
    y: float
    z: float
    radius: float

    @property
    def length(self) -> float:
        return KEY_LENGTH * self.radius

    def solid(self, grown: float) -> Any:
        """The pin, or the hole for it; begun a little inside, so that both overlap what they meet."""
        from manifold3d import Manifold

        inside = self.radius
        pin = Manifold.cylinder(self.length + inside + grown, self.radius + grown, -1.0, SIDES)
        return pin.rotate((0.0, 90.0, 0.0)).translate((self.x - inside, self.y, self.z))


def scaled(surface: Surface, scale: float) -> Surface:
    """Return a smaller or larger surface; its chord shrinks with it."""
    chord = None if surface.chord is None else surface.chord * scale
    return welded_surface(surface.name, surface.vertices * scale, surface.faces, chord)


def pieces_of(body: Body, surface: Surface, model: Model) -> list[Surface]:
    """Return the pieces of a model side by side, tail first, each with what fits the next.

    Parameters
    ----------
    body, surface
        What is printed, and its mesh at full size.
    model
        Scale and bed.

    Raises
    ------
    InputError
        The library is not installed, the model is wider than the bed, or a cut is too thin for a key.
    """
    small = scaled(surface, model.scale)
    if model.bed is None:
        return [small]
    low, high = small.vertices.min(axis=0), small.vertices.max(axis=0)
    if high[1] - low[1] > model.bed:
        raise InputError(
            Problem(
                "--bed",
                f"the model is {high[1] - low[1]:.0f} mm wide, wider than the bed of {model.bed:.0f} mm.",
                f"Make it smaller: --scale 1:{ceil((high[1] - low[1]) / model.bed / model.scale)} would do.",
            )
        )
    if high[0] - low[0] <= model.bed:
        return [small]
    _require_library()
    return _sawn(small, _cuts(body, model, float(low[0]), float(high[0])))


def _require_library() -> None:
    try:
        import manifold3d  # noqa: F401
    except ImportError:
        raise InputError(
            Problem(
                "--bed",
                "needs the library manifold3d to saw a model, which is not installed.",
                "Install it with: pip install 'foamwright[models]'; or make the model smaller.",
            )
        ) from None


def _cuts(body: Body, model: Model, low: float, high: float) -> list[list[_Key]]:
    """The keys of each cut; pieces are of one length, and the longest key is a part of it."""
    assert model.bed is not None
    room = model.bed - KEY_LENGTH * THICKEST_KEY
    if room <= 0.0:
        raise InputError(
            Problem("--bed", "is shorter than a key.", "Give the length of the bed, like 220 mm.")
        )
    count = floor((high - low) / room) + 1
    places = np.linspace(low, high, count + 1)[1:-1]
    return [_keys(body, float(x), model.scale) for x in places]


def _keys(body: Body, place: float, scale: float) -> list[_Key]:
    x = np.array([place / scale / 1000.0])
    solid = body.solid
    half, low = float(solid.half_width(x)[0]), float(low_share(solid, x)[0])
    share = np.array([[low + ASIDE * (1.0 - low)]])
    bottom, deck = float(solid.bottom_at(x, share)[0, 0]), float(solid.deck_at(x, share)[0, 0])
    radius = min(KEY_SHARE * (deck - bottom) * scale * 1000.0, THICKEST_KEY)
    if radius < THINNEST_KEY:
        needed = 1.0 / (scale * THINNEST_KEY / radius)
        raise InputError(
            Problem(
                "--scale",
                f"a cut of the model is too thin for a key: {(deck - bottom) * scale * 1000.0:.1f} mm.",
                f"Make it larger, 1:{max(1, floor(needed))}, or name a longer bed.",
            )
        )
    y, z = float(share[0, 0]) * half, (bottom + deck) / 2.0
    return [_Key(place, side * y * scale * 1000.0, z * scale * 1000.0, radius) for side in (-1.0, 1.0)]


def _sawn(surface: Surface, cuts: list[list[_Key]]) -> list[Surface]:
    from manifold3d import Error, Manifold, Mesh

    rest = Manifold(Mesh(surface.vertices.astype(np.float32), surface.faces.astype(np.uint32)))
    if rest.status() != Error.NoError:
        raise FaultError(f"the mesh of {surface.name} is no solid: {rest.status()}")
    pieces = []
    for keys in cuts:
        ahead, piece = rest.split_by_plane((1.0, 0.0, 0.0), keys[0].x)
        for key in keys:
            piece, ahead = piece + key.solid(0.0), ahead - key.solid(CLEARANCE)
        pieces.append(piece)
        rest = ahead
    pieces.append(rest)
    return _side_by_side(surface, pieces)


def _side_by_side(surface: Surface, pieces: list[Any]) -> list[Surface]:
    made, y = [], 0.0
    for number, piece in enumerate(pieces, 1):
        mesh = piece.to_mesh()
        points = np.asarray(mesh.vert_properties, dtype=float)[:, :3]
        points = points - points.min(axis=0) + (0.0, y, 0.0)
        y = float(points[:, 1].max()) + GAP
        name = f"{surface.name} {number} of {len(pieces)}"
        made.append(welded_surface(name, points, np.asarray(mesh.tri_verts, dtype=np.int64), surface.chord))
    return made
