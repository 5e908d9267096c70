"""A closed, symmetric triangle mesh of any solid: an export, never a source of numbers.

The grid is crowded where a rail turns upright and where an end is round, so that the mesh's volume and area
come to the solid's own with the square of the spacing.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import GRADE, Solid, core_share, low_share

SAME = 1e-9
"""Metres under which two places of the grid are one: at tips, and where the faces meet at the edge."""

Triangles = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """A closed surface of triangles, wound so that their normals point outwards.

    Attributes
    ----------
    vertices
        (V, 3) x, y, z, metres.
    faces
        (F, 3) indices of vertices.
    """

    vertices: Floats
    faces: Triangles

    @property
    def volume(self) -> float:
        """Volume within the triangles, m3 (divergence theorem)."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.sum(a * np.cross(b, c)) / 6.0)

    @property
    def area(self) -> float:
        """Area of the triangles, m2."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.sum(np.linalg.norm(np.cross(b - a, c - a), axis=1)) / 2.0)


def mesh_of(solid: Solid, along: int = 24, across: int = 12) -> Mesh:
    """Return a mesh of a solid.

    Parameters
    ----------
    solid
        Any solid; blocked ends, upright walls at hard edges and a notch are closed.
    along
        Steps along each panel, 1 or more.
    across
        Steps across each part of each half section, 1 or more.

    Returns
    -------
    Mesh
        Symmetric about y = 0, with the triangles of the +y half mirrored.
    """
    x = rows_of(solid.panels, along)
    gap = Gap.of(solid, x, across)
    rings = rings_of(solid, x, gap, across)
    half = _names(rings)
    near = _faces(half, gap, rings[[0, -1]])
    on_plane = np.abs(rings[..., 1]) <= SAME
    far = np.where(on_plane, half, half + rings.shape[0] * rings.shape[1])
    mirror = _faces(far, gap, rings[[0, -1]])[:, ::-1]
    points = np.concatenate([rings.reshape(-1, 3), rings.reshape(-1, 3) * np.array([1.0, -1.0, 1.0])])
    return _compact(points, np.concatenate([near, mirror]))


@dataclass(frozen=True, eq=False)
class Gap:
    """What notches take from each row: columns before `column` lie on the inner side of it.

    Attributes
    ----------
    column
        Columns of a face between the middle and the gap; 0 where nothing stands there.
    inner, outer
        (N,) shares of the half-width between which a row has nothing; equal where the row is whole.
    open
        (N,) whether the row has a gap.
    standing
        (N,) whether there is anything on the inner side of the gap.
    """

    column: int
    inner: Floats
    outer: Floats
    open: NDArray[np.bool_]
    standing: NDArray[np.bool_]

    @classmethod
    def of(cls, solid: Solid, x: Floats, across: int) -> Gap:
        """Return the gaps of rows at `x` with `across` steps over each part."""
        low, core = low_share(solid, x), core_share(solid, x)
        opened = low * solid.half_width(x) > SAME
        if not np.any(core > 0.0):
            return cls(0, np.zeros_like(x), low, opened, np.ones_like(opened))
        foot = int(np.flatnonzero(~opened)[0])
        # Whole rows are parted where the notches end, so that their columns go on into both sides of it.
        part = low[foot - 1] if foot else 0.0
        part = (core[foot - 1] + part) / 2.0
        core, low = np.where(opened, core, part), np.where(opened, low, part)
        columns = across * (solid.kinks(x[:1]).shape[1] - 1) + 1
        begun = np.append(core[1:] > 0.0, True)
        return cls(columns, core, low, opened, begun)


def rings_of(solid: Solid, x: Floats, gap: Gap, across: int) -> Floats:
    """Return the +y half as rows of points (N, K, 3): along the bottom outwards, back over the deck."""
    share = _shares(np.maximum(solid.kinks(x), gap.outer[:, None]), across)
    if gap.column:
        share = np.concatenate(
            [_shares(np.minimum(solid.kinks(x), gap.inner[:, None]), across), share], axis=1
        )
    y = share * solid.half_width(x)[:, None]
    station = np.broadcast_to(x[:, None], share.shape)
    bottom, deck = (
        np.stack([station, y, z], axis=-1) for z in (solid.bottom_at(x, share), solid.deck_at(x, share))
    )
    rings = np.concatenate([bottom, deck[:, ::-1]], axis=1)
    rings[..., 1][np.abs(rings[..., 1]) <= SAME] = 0.0
    return rings


def rows_of(panels: tuple[float, ...], along: int) -> Floats:
    """Return the stations of a mesh's rows: `along` steps in each panel, crowded at its ends."""
    unit = (1.0 - np.cos(np.pi * np.arange(along) / along)) / 2.0
    parts = [start + (stop - start) * unit for start, stop in pairwise(panels)]
    return np.append(np.concatenate(parts), panels[-1])


def _shares(kinks: Floats, across: int) -> Floats:
    unit = 1.0 - (1.0 - np.arange(across) / across) ** GRADE
    inner = kinks[:, :-1, None] + np.diff(kinks, axis=1)[:, :, None] * unit
    return np.concatenate([inner.reshape(len(kinks), -1), kinks[:, -1:]], axis=1)


def _names(rings: Floats) -> Triangles:
    """Return one number for each place of the grid (N, K); neighbours in a row at one place share theirs.

    Places are told apart by their row and order, not by where they are: at an end of no width a row
    folds back on itself, and must still be two edges there.
    """
    rows, count = rings.shape[:2]
    numbers = np.arange(rows * count).reshape(rows, count)
    moved = np.linalg.norm(np.diff(rings, axis=1), axis=2) > SAME
    moved = np.concatenate([np.ones((rows, 1), dtype=bool), moved], axis=1)
    names = np.maximum.accumulate(np.where(moved, numbers, 0), axis=1)
    closed = np.linalg.norm(rings[:, 0] - rings[:, -1], axis=1) <= SAME
    return np.where(closed[:, None] & (names == names[:, -1:]), names[:, :1], names)


def _faces(names: Triangles, gap: Gap, ends: Floats) -> Triangles:
    """Return triangles (F, 3) of one half: around the ring, the walls of notches, blocked ends."""
    count, column = names.shape[1] // 2, gap.column
    cut = gap.open[:-1] | gap.open[1:]
    ring = _cells(names, turned_cells(names.shape)).reshape(len(names) - 1, -1, 2, 3)
    there = np.ones(ring.shape[:2], dtype=bool)
    parts = [_cells(names[:, [-1 - column, column]])[cut].reshape(-1, 3)]
    if column:
        place = np.arange(2 * count - 1)
        within = (place < column - 1) | (place >= 2 * count - column)
        there[~gap.standing[:-1, None] & within] = False
        there[cut[:, None] & ((place == column - 1) | (place == 2 * count - 1 - column))] = False
        parts.append(_cells(names[:, [column - 1, -column]])[cut & gap.standing[:-1]].reshape(-1, 3))
    parts.append(ring[there].reshape(-1, 3))
    bottom, deck = names[:, column:count], names[:, count : 2 * count - column][:, ::-1]
    if np.max(ends[0, :, 1]) > SAME:
        parts.append(_cells(np.stack([deck[0], bottom[0]])).reshape(-1, 3))
    if np.max(ends[1, :, 1]) > SAME:
        parts.append(_cells(np.stack([bottom[-1], deck[-1]])).reshape(-1, 3))
    return np.concatenate(parts)


def turned_cells(shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Return which cells are cut along their other diagonal: none of an end's may lie in the plane y = 0."""
    forward = np.arange(shape[0] - 1) >= (shape[0] - 1) // 2
    deck = np.arange(shape[1] - 1) >= shape[1] // 2
    return np.asarray(forward[:, None] ^ deck[None, :])


def _cells(names: Triangles, turned: NDArray[np.bool_] | None = None) -> Triangles:
    """Return two triangles for each cell of a grid of names (N, K), as (N - 1, 2 (K - 1), 3)."""
    a, b, c, d = names[:-1, :-1], names[1:, :-1], names[1:, 1:], names[:-1, 1:]
    cells = np.stack([np.stack([a, d, c], axis=2), np.stack([a, c, b], axis=2)], axis=2)
    if turned is not None:
        other = np.stack([np.stack([a, d, b], axis=2), np.stack([d, c, b], axis=2)], axis=2)
        cells = np.where(turned[:, :, None, None], other, cells)
    return cells.reshape(len(a), -1, 3)


def _compact(points: Floats, faces: Triangles) -> Mesh:
    """Return the mesh of the vertices that are used, without triangles that are none.

    These have two corners in one, or lie in the plane y = 0: there their mirror lies on them.
    """
    a, b, c = faces.T
    flat = np.all(points[faces, 1] == 0.0, axis=1)
    used, index = np.unique(faces[(a != b) & (b != c) & (c != a) & ~flat], return_inverse=True)
    return Mesh(points[used], index.reshape(-1, 3).astype(np.int64))
