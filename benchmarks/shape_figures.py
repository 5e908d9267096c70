"""Curves and solids: how exact, how they converge, how long a board takes.

Run: ``python benchmarks/shape_figures.py [boards]`` from the root of the repository.
"""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.board.board import Board, board_of
from foamwright.shape.conic import conic_left, conic_shares
from foamwright.shape.mesh import mesh_of
from foamwright.shape.quadrature import graded
from foamwright.shape.solid import mass_properties
from tests.boards import GROYNE, groyne
from tests.property.test_fair_curves import check_foil, check_outline, check_rocker
from tests.superellipsoid import Superellipsoid, ellipsoid_area
from tests.trade import random_board

ELLIPSOID = Superellipsoid(0.95, 0.26, 0.032, lift=0.05)


def rows(count: int = 1000) -> list[dict]:
    """Return every figure of the shape layer as lines of a table."""
    return [*_ellipsoid(), *_sections(), *_meshes(), *_boards(count), *_times()]


def _row(name: str, value: float, unit: str, asked: str = "") -> dict:
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def _ellipsoid() -> list[dict]:
    mass, solid = mass_properties(ELLIPSOID), ELLIPSOID
    area = ellipsoid_area(solid.a, solid.b, solid.c)
    off = max(abs(mass.centroid_x / solid.a - 1.0), abs(mass.centroid_z / solid.lift - 1.0))
    return [
        _row("ellipsoid: volume, relative error", abs(mass.volume / solid.volume - 1.0), "1", "< 1e-9"),
        _row("ellipsoid: area, relative error", abs(mass.area / area - 1.0), "1", "< 1e-9"),
        _row("ellipsoid: centroid, relative error", off, "1", "< 1e-9"),
    ]


def _sections() -> list[dict]:
    """Areas under unit conics of some fullness, against the closed form of the rational quadratic."""
    share, weight = graded(np.array([[0.0, 1.0]]), 24)
    errors = []
    for rho, area in ((0.5, 1.0 / 3.0), (np.sqrt(2.0) - 1.0, 1.0 - np.pi / 4.0)):
        _, end = conic_shares(conic_left(share, np.ones(1)), rho)
        errors.append(abs(float(np.sum(weight * end)) / area - 1.0))
    return [_row("conic sections: area, worst relative error", max(errors), "1")]


def _meshes() -> list[dict]:
    board = groyne()
    meshes = [mesh_of(board, 2 * n, n) for n in (12, 24, 48)]
    volumes = [abs(m.volume - board.mass.volume) for m in meshes]
    areas = [abs(m.area - board.mass.area) for m in meshes]
    return [
        _row(
            "mesh of the demo board: order of the volume's error", np.log2(volumes[1] / volumes[2]), "1", "2"
        ),
        _row("mesh of the demo board: order of the area's error", np.log2(areas[1] / areas[2]), "1", "2"),
        _row("mesh of 300,000 triangles: volume off by", 1e6 * volumes[2], "cm3"),
    ]


def _boards(count: int) -> list[dict]:
    sound = sum(_is_sound(board_of(random_board(seed))) for seed in range(count))
    return [_row("random sheets without an unwanted inflection", sound, f"of {count}", str(count))]


def _is_sound(board: Board) -> bool:
    x = np.linspace(0.0, board.length, 2001)
    try:
        check_rocker(board, x)
        check_foil(board, x)
        check_outline(board, x)
    except AssertionError:
        return False
    return True


def _times() -> list[dict]:
    free = replace(GROYNE, wide_at=None, thickest_at=None)
    start = (
        "import time; t = time.perf_counter(); import foamwright.board.board; print(time.perf_counter() - t)"
    )
    spent = [
        float(subprocess.run([sys.executable, "-c", start], capture_output=True, check=True).stdout)
        for _ in range(5)
    ]
    return [
        _row("a board with its widest and thickest given", 1e3 * _quickest(GROYNE), "ms"),
        _row("a board with everything free", 1e3 * _quickest(free), "ms", "< 60"),
        _row("importing the board layer (numpy included)", 1e3 * min(spent), "ms"),
    ]


def _quickest(numbers) -> float:
    spent = []
    for _ in range(9):
        began = time.perf_counter()
        board_of(numbers)
        spent.append(time.perf_counter() - began)
    return min(spent)


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 1000):
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
