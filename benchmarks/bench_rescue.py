"""Random over-cuts rescued: ``.venv/bin/python benchmarks/bench_rescue.py [COUNT]``.

Every rescued board must be inside the remaining foam; for the first hundred, the optimum of the last
program is compared with scipy's non-negative least squares.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from foamwright.bench.foam_left import FoamLeft
from foamwright.bench.rescue import SPARE, Rescuer
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.demo import demo_path
from foamwright.errors import NoAnswerError
from foamwright.units import INCH
from tests.unit.bench.test_rescue import by_least_squares

COMPARED = 100


def over_cut(rescuer: Rescuer, seed: int) -> FoamLeft:
    """Return the finished board with 1/64 in all round, less one to three bumps in bottom or deck."""
    random, board, x = np.random.default_rng(seed), rescuer.board, rescuer.x
    faces = [board.pre_contour(x) - INCH / 64, board.deck_line(x) + INCH / 64]
    for _ in range(random.integers(1, 4)):
        face, at = int(random.integers(0, 2)), random.uniform(0.0, board.length)
        width, depth = random.uniform(1.0, 8.0) * INCH, random.uniform(0.02, 0.3) * INCH
        bump = depth * np.exp(-0.5 * ((x - at) / width) ** 2)
        faces[face] = faces[face] + (bump if face == 0 else -bump)
    return FoamLeft(x, faces[0], faces[1], board.half_width(x) + INCH / 64)


def difference(rescuer: Rescuer, foam: FoamLeft) -> float:
    """Return by what share our optimum of the first program costs more than that of scipy's least squares."""
    start = np.zeros(rescuer.scale.size)
    ours = rescuer._nearest(rescuer.tangent_at_board, start, foam, SPARE) / rescuer.scale
    theirs = by_least_squares(*rescuer.program(rescuer.tangent_at_board, foam, SPARE)[1:])
    return abs(float(ours @ ours) / float(theirs @ theirs) - 1.0)


def main(count: int) -> None:
    rescuer = Rescuer(board_of(read_board(demo_path("groyne.board.toml"))))
    worst, apart, refused, cpu = -np.inf, 0.0, [], time.process_time()
    for seed in range(count):
        foam = over_cut(rescuer, seed)
        try:
            rescue = rescuer.rescued(foam)
        except NoAnswerError:
            refused.append((seed, float((foam.deck - foam.bottom).min())))
            continue
        x, up = foam.x, rescue.shift.at(foam.x)
        board = rescue.board
        out = foam.short(x, board.pre_contour(x) + up, board.deck_line(x) + up, board.half_width(x))
        worst = max(worst, float(out.max()))
        if seed < COMPARED:
            apart = max(apart, difference(rescuer, foam))
    print(f"{count - len(refused)} of {count} rescued; the most any stands out: {worst * 1000:.6f} mm.")
    print(f"Cost against scipy on the first {min(count, COMPARED)}: at most {apart:.1e} apart.")
    for seed, thickness in refused:
        print(f"Seed {seed}: no board; the foam is {thickness / INCH:.3f} in thick at its thinnest.")
    print(f"{time.process_time() - cpu:.0f} s of processor time.")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
