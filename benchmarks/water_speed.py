"""How fast and how exact the water is: closed forms, and slicing a mesh to the same tolerance.

The mesh is that of an ellipsoid of a board's size, whose volume under a plane is known exactly; it is refined
until a slice (manifold3d) is as near to that as asked, and then timed. The columns are timed on a real board,
and on the same ellipsoid, where they must be at least as near. A mesh good to 1e-6 has some ten million
triangles and wants several gigabytes; ``python benchmarks/water_speed.py 1e-6`` makes it.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.jobs.water import craft_for
from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Water
from foamwright.water.afloat import at_rest
from foamwright.water.body import body_of
from foamwright.water.columns import Columns, columns_of
from foamwright.water.pool import Surface
from foamwright.water.postures import Posture

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))
from tests.closed_forms import Ellipsoid  # noqa: E402

BOARD = ROOT / "examples" / "groyne-6-4.board.toml"
SIZE = (1.93, 0.52, 0.064)
SURFACE = Surface(0.05, -0.012)


def exact() -> float:
    """Volume of the ellipsoid under the surface: a cap of a ball in the ellipsoid's own frame."""
    half = np.array(SIZE) / 2.0
    normal = np.array([-SURFACE.along, -SURFACE.across, 1.0])
    cut = (SURFACE.height - normal @ (half * [1.0, 0.0, 1.0])) / np.linalg.norm(half * normal)
    return float(np.pi * np.prod(half) * (2.0 / 3.0 + cut - cut**3 / 3.0))


def ball(count: int) -> tuple[np.ndarray, np.ndarray]:
    """A closed mesh of the ellipsoid: `count` rings of ``2 * count`` points and two poles."""
    polar, turn = np.linspace(0.0, np.pi, count + 2)[1:-1], np.linspace(0.0, 2.0 * np.pi, 2 * count + 1)[:-1]
    ring = np.sin(polar)[:, None]
    points = np.stack(
        [np.repeat(np.cos(polar)[:, None], turn.size, 1), ring * np.cos(turn), ring * np.sin(turn)], axis=-1
    )
    vertices = np.concatenate([points.reshape(-1, 3), [[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]])
    at = np.arange(count * turn.size).reshape(count, turn.size)
    here, beside = at, np.roll(at, -1, axis=1)
    sides = [
        np.stack([here[:-1], here[1:], beside[1:]], -1),
        np.stack([here[:-1], beside[1:], beside[:-1]], -1),
    ]
    first, last = at.size, at.size + 1
    caps = [
        np.stack([np.full(turn.size, first), here[0], beside[0]], -1),
        np.stack([np.full(turn.size, last), beside[-1], here[-1]], -1),
    ]
    faces = np.concatenate([part.reshape(-1, 3) for part in (*sides, *caps)])
    half = np.array(SIZE) / 2.0
    return (vertices + np.array([1.0, 0.0, 1.0])) * half, faces


def sliced(count: int) -> tuple[float, float, int]:
    """Error and seconds of one slice of the mesh, and its triangles."""
    import manifold3d

    vertices, faces = ball(count)
    mesh = manifold3d.Manifold(manifold3d.Mesh64(vertices, faces.astype(np.uint64)))
    normal = -SURFACE.up
    start = time.perf_counter()
    volume = mesh.trim_by_plane(tuple(normal), float(normal[2] * SURFACE.height)).volume()
    return abs(volume / exact() - 1.0), time.perf_counter() - start, len(faces)


def best_of(function: Callable[[], object], repeats: int = 30) -> float:
    """Least seconds of some runs: what the machine can do when nobody else is at it."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def against_slices(tolerances: tuple[float, ...] = (1e-4, 1e-5)) -> list[dict]:
    """Columns against slices of a mesh, at tolerances that the mesh can reach."""
    solid, board = columns_of(Ellipsoid(*SIZE)), columns_of(board_of(read_board(BOARD)))
    error = abs(solid.pool(SURFACE).volume / exact() - 1.0)
    mine = max(best_of(lambda: solid.pool(SURFACE)), best_of(lambda: board.pool(SURFACE)))
    rows = [
        row("columns: error on an ellipsoid", error, "", "1e-6 or less"),
        row("columns: one surface, a board", 1e3 * mine, "ms", ""),
    ]
    assert error < min(tolerances)
    for tolerance in tolerances:
        count = 64
        while (found := sliced(count))[0] > tolerance:
            count = int(count * max(1.05, np.sqrt(found[0] / tolerance)) + 1)
        seconds = min(found[1], sliced(count)[1])
        rows += [
            row(f"slice to {tolerance:g}: triangles", found[2], "", f"error {found[0]:.1e}"),
            row(f"slice to {tolerance:g}", 1e3 * seconds, "ms", ""),
            row(
                f"columns are faster, at {tolerance:g}",
                seconds / mine,
                "times",
                "500 or more" if tolerance <= 1e-5 else "",
            ),
        ]
    return rows


def convergence(column: Columns) -> list[dict]:
    """How the volume of a real board settles with the nodes of its polynomials."""
    board = board_of(read_board(BOARD))
    fine = columns_of(board, 65, 65).pool(SURFACE).volume
    return [
        row(
            f"board under a surface, {count} nodes: error",
            abs(columns_of(board, count, count).pool(SURFACE).volume / fine - 1.0),
            "",
            "1e-6 or less at 25" if count == 25 else "",
        )
        for count in (9, 17, 25, 33)
    ] + [row("volume of the board", 1e3 * column.volume, "l", "")]


def equilibria() -> list[dict]:
    """A rider lying on a board: residual and time."""
    craft = craft_for(board_of(read_board(BOARD)), 3.0)
    rider = RiderNumbers("rider", 75.0, 1.78, Experience.ADVANCED, Lungs.RESTING, Water(15.0, 35.0))
    body = body_of(rider)
    rests = [at_rest(craft, body, 1025.8, Posture.PRONE, x).rest for x in np.linspace(0.8, 1.7, 19)]
    worst = max(float(np.max(np.abs(rest.residual[:2]))) for rest in rests)
    assert worst < 1e-6
    seconds = best_of(lambda: at_rest(craft, body, 1025.8, Posture.PRONE, 1.25), 10)
    return [
        row("rest of a rider lying: worst residual of 19", worst, "weights", "1e-6 or less"),
        row("rest of a rider lying", 1e3 * seconds, "ms", ""),
    ]


def row(name: str, value: float, unit: str, asked: str) -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def rows(tolerances: tuple[float, ...] = (1e-4, 1e-5)) -> list[dict]:
    """Everything."""
    board = columns_of(board_of(read_board(BOARD)))
    return [*against_slices(tolerances), *convergence(board), *equilibria()]


if __name__ == "__main__":
    wanted = tuple(float(word) for word in sys.argv[1:])
    for line in rows(wanted) if wanted else rows():
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
