"""Finding how a scanned board lies: its plane of symmetry, its long axis, which way is up, where the nose is.

The plane comes from the board's own symmetry: the scan is mirrored and laid onto itself, nearest places
first, point against plane, so a hole on one side hardly matters.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.errors import InputError, Problem
from foamwright.exchange.scan_files import Scan
from foamwright.shape.curves import Floats

CELL = 0.008
"""Metres: the scan is averaged over cells of this size before it is laid onto its mirror image."""

ROUNDS = 30
KEPT = 0.75
"""Share of the nearest pairs that count in each round; the others face holes."""

SETTLED = 1e-7
"""Radians and metres: a smaller step ends the search."""

WORST_FIT = 0.004
"""Metres: a mirror image that fits worse is none."""

KICK = 0.3048
"""Metres at each tip over which the nose is told from the tail: it turns up more."""


@dataclass(frozen=True, eq=False)
class Frame:
    """A rotation and an origin: rows of `axes` are along (to the nose), across and up."""

    axes: Floats
    origin: Floats

    def points(self, points: Floats) -> Floats:
        """Return points (N, 3) of the file in this frame."""
        return np.asarray((points - self.origin) @ self.axes.T)

    def directions(self, directions: Floats) -> Floats:
        """Return directions (N, 3) of the file in this frame."""
        return np.asarray(directions @ self.axes.T)

    def pitched(self, slope: float, x: float, z: float) -> Frame:
        """Return the frame turned so that a line of that slope is level, with (x, z) as its origin."""
        turn = np.arctan(slope)
        along = np.cos(turn) * self.axes[0] + np.sin(turn) * self.axes[2]
        up = np.cos(turn) * self.axes[2] - np.sin(turn) * self.axes[0]
        return Frame(np.stack([along, self.axes[1], up]), self.origin + x * self.axes[0] + z * self.axes[2])

    def moved(self, x: float, z: float) -> Frame:
        """Return the frame with its origin at (x, z)."""
        return Frame(self.axes, self.origin + x * self.axes[0] + z * self.axes[2])

    def turned_round(self) -> Frame:
        """Return the frame with nose and tail exchanged."""
        return Frame(self.axes * np.array([[-1.0], [-1.0], [1.0]]), self.origin)


@dataclass(frozen=True, eq=False)
class Cells:
    """A scan averaged over small cells: (N, 3) points, (N, 3) unit normals, (N,) areas."""

    points: Floats
    normals: Floats
    areas: Floats


def frame_of(scan: Scan) -> Frame:
    """Return the frame in which a scanned board lies along x, symmetric about y = 0, deck up, nose at +x.

    The origin is near the middle; the frame is not level yet.

    Raises
    ------
    InputError
        The scan has no plane of symmetry: it is no board, or half of it is missing.
    """
    cells = cells_of(scan)
    start = _principal(cells)
    across, offset = _symmetry(cells, start.axes[1], float(start.axes[1] @ start.origin))
    along = start.axes[0] - (start.axes[0] @ across) * across
    along /= np.linalg.norm(along)
    origin = start.origin - (float(across @ start.origin) - offset) * across
    frame = Frame(np.stack([along, across, np.cross(along, across)]), origin)
    return _nose_first(_upright(frame, cells), cells)


def cells_of(scan: Scan, cell: float = CELL) -> Cells:
    """Return the scan averaged over cells by area, each face by itself where both meet in one cell."""
    key = np.floor((scan.centres - scan.centres.min(axis=0)) / cell).astype(np.int64)
    _, index = np.unique(key @ np.array([1, 1 << 20, 1 << 40]), return_inverse=True)
    count = int(index.max()) + 1
    area = np.bincount(index, scan.areas, count)
    sums = [np.bincount(index, scan.areas * column, count) for column in (*scan.centres.T, *scan.normals.T)]
    points, normals = np.stack(sums[:3], axis=1) / area[:, None], np.stack(sums[3:], axis=1)
    length = np.linalg.norm(normals, axis=1)
    clear = length > 0.5 * area
    return Cells(points[clear], normals[clear] / length[clear, None], area[clear])


def _principal(cells: Cells) -> Frame:
    weights = cells.areas / np.sum(cells.areas)
    middle = weights @ cells.points
    centred = cells.points - middle
    _, axes = np.linalg.eigh((centred * weights[:, None]).T @ centred)
    return Frame(axes.T[::-1], middle)


def _symmetry(cells: Cells, normal: Floats, offset: float) -> tuple[Floats, float]:
    """Lay the cells onto their mirror image; returns the plane ``normal . p = offset``."""
    from scipy.spatial import cKDTree

    tree = cKDTree(cells.points)
    for _ in range(ROUNDS):
        away = cells.points @ normal - offset
        mirrored = cells.points - 2.0 * away[:, None] * normal
        distance, near = tree.query(mirrored)
        facing = np.sum(
            (cells.normals - 2.0 * (cells.normals @ normal)[:, None] * normal) * cells.normals[near], axis=1
        )
        kept = (distance <= np.quantile(distance, KEPT)) & (facing > 0.7)
        step = _mirror_step((cells.points[kept], mirrored[kept], near[kept]), cells, normal, away[kept])
        normal = normal + step[:3]
        offset = (offset + step[3]) / float(np.linalg.norm(normal))
        normal = normal / np.linalg.norm(normal)
        if np.max(np.abs(step)) < SETTLED:
            break
    if np.quantile(distance, 0.5) > WORST_FIT + CELL:
        raise InputError(
            Problem(
                "scan",
                "is not symmetric about any plane.",
                "Check that it is one whole board and nothing else.",
            )
        )
    return normal, offset


def _mirror_step(pairs: tuple[Floats, Floats, Floats], cells: Cells, normal: Floats, away: Floats) -> Floats:
    """Small change of (normal, offset) that brings mirrored points onto their partners' planes."""
    points, mirrored, near = pairs
    planes = cells.normals[near]
    gap = np.sum((mirrored - cells.points[near]) * planes, axis=1)
    # d mirrored = -2 [(dn . p - d offset) n + away dn]; dn is kept square to n.
    along = planes @ normal
    of_normal = -2.0 * (along[:, None] * points + away[:, None] * planes)
    of_offset = 2.0 * along
    basis = np.linalg.svd(normal[None, :])[2][1:]
    matrix = np.column_stack([of_normal @ basis.T, of_offset])
    scale = 1.4826 * float(np.median(np.abs(gap))) + 1e-9
    weight = np.sqrt(1.0 / (1.0 + (gap / (2.0 * scale)) ** 2))
    found = np.linalg.lstsq(matrix * weight[:, None], -gap * weight, rcond=None)[0]
    return np.append(found[:2] @ basis, found[2])


def _upright(frame: Frame, cells: Cells) -> Frame:
    """Turn the frame about its long axis if the tips point down: rocker lifts them."""
    points = frame.points(cells.points)
    near = np.abs(points[:, 1]) < 0.05
    bend = np.polyfit(points[near, 0], points[near, 2], 2)[0]
    if bend >= 0.0:
        return frame
    return Frame(frame.axes * np.array([[1.0], [-1.0], [-1.0]]), frame.origin)


def _nose_first(frame: Frame, cells: Cells) -> Frame:
    """Turn the frame round if its far end turns up less than its near one."""
    points, normals = frame.points(cells.points), frame.directions(cells.normals)
    bottom = (np.abs(points[:, 1]) < 0.04) & _outward_down(points, normals)
    x, z = points[bottom, 0], points[bottom, 2]
    low, high = float(np.min(points[:, 0])), float(np.max(points[:, 0]))
    kicks = [_kick(x - low, z), _kick(high - x, z)]
    return frame if kicks[1] >= kicks[0] else frame.turned_round()


def _outward_down(points: Floats, normals: Floats) -> NDArray[np.bool_]:
    """Which cells belong to the bottom: they face down, whichever way the triangles are wound."""
    middle = np.polyval(np.polyfit(points[:, 0], points[:, 2], 3), points[:, 0])
    facing = normals[:, 2] * np.sign(np.sum(normals[:, 2] * (points[:, 2] - middle)))
    return np.asarray(facing < -0.5)


def _kick(from_tip: Floats, z: Floats) -> float:
    """How much a bottom turns up over the last foot against the foot before: a second difference."""
    feet = [
        np.median(z[np.abs(from_tip - at) < 0.03])
        for at in (0.02, KICK, 2.0 * KICK)
        if np.any(np.abs(from_tip - at) < 0.03)
    ]
    return float(feet[0] - 2.0 * feet[1] + feet[2]) if len(feet) == 3 else 0.0
