"""How the lay kernel grows with stations and blanks, and its share of what the machine could do at most.

The limit is a roofline: a lay cannot take less than its arithmetic takes at the measured peak of one core,
nor than its bytes take at the measured speed of reading and writing what fits the caches. Both peaks are
measured here with the same compiler, so the share is of what compiled code reaches on this machine.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.bay.bay import Bay
from foamwright.board.board import board_of
from foamwright.lay.profiles import profile_of_board, stretched_stations
from foamwright.lay.rack import Rack
from foamwright.shape.kernels.compiler import compiled
from foamwright.stocking.candidates import generated
from foamwright.stocking.demand import expected_boards
from foamwright.stocking.laying import STEP, PackedRack, profiles_of

READ, FITTED_ON = 28, 28
"""Floating-point operations for each station of one lay.

Reading four columns through four rows: 4 x (4 products + 3 sums) = 28. If the outline fits: the margin (3),
the two point sets (4), two hulls (about two steps of a difference, a division and a comparison for each
point: 2 x 8), the cost (4), the line on the few corners left (1): 28 more.
"""

BYTES = 4 * 32 + 4 * 8 + 8 + 6 * 8
"""Bytes for each station of one lay: four rows of the table, weights, row number, six arrays of the board."""


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def quickest(function, repeats: int = 5) -> float:
    """Least processor time of some runs, seconds."""
    spent = []
    for _ in range(repeats):
        began = time.process_time()
        function()
        spent.append(time.process_time() - began)
    return min(spent)


def lays(profile, packed: PackedRack) -> tuple[int, float, int]:
    """Lays tried, seconds, and how many blanks fit."""
    cells = np.full((packed.length.size, 5), np.nan)
    count = packed.lay(profile, STEP, cells)
    return count, quickest(lambda: packed.lay(profile, STEP, cells)), int(np.isfinite(cells[:, 0]).sum())


def exponent(sizes, seconds) -> float:
    """Power by which the time grows."""
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])


def growth(stations: tuple[int, ...], blanks: tuple[int, ...]) -> list[dict]:
    """Exponents fitted over stations and blanks."""
    board = board_of(expected_boards(1, 1)[0].board)
    rack = profiles_of(generated(max(blanks)))
    packed = PackedRack(Rack(rack[: blanks[-1]]), Bay())
    by_stations = [
        lays(profile_of_board(board, stretched_stations(board.length, count)), packed)[1]
        for count in stations
    ]
    profile = profile_of_board(board)
    found = [lays(profile, PackedRack(Rack(rack[:count]), Bay())) for count in blanks]
    tried = [one[0] for one in found]
    return [
        row(
            f"time against stations, {stations[0]} to {stations[-1]}: power",
            exponent(stations, by_stations),
            "1",
        ),
        row(
            f"time against blanks, {blanks[0]} to {blanks[-1]}: power",
            exponent(blanks, [o[1] for o in found]),
            "1",
        ),
        row("time against lays tried: power", exponent(tried, [one[1] for one in found]), "1"),
    ]


@compiled
def arithmetic(values, factor, more, rounds):
    """Products and sums that fit the vector units: 32 of each for every value and round."""
    for _ in range(rounds):
        for i in range(values.size):
            v = values[i]
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            v = v * factor + more
            values[i] = v


@compiled
def reading(one, two, out, rounds):
    """Two arrays read and one written, all in the caches."""
    for _ in range(rounds):
        for i in range(out.size):
            out[i] = one[i] + two[i]


def peaks() -> tuple[float, float]:
    """Operations and bytes per second of one core, measured."""
    values = np.ones(1024)
    arithmetic(values, 0.999, 0.001, 1)
    flops = 16 * values.size * 20_000 / quickest(lambda: arithmetic(values, 0.999, 0.001, 20_000))
    one, two, out = np.ones(3000), np.ones(3000), np.empty(3000)
    reading(one, two, out, 1)
    speed = 24 * out.size * 20_000 / quickest(lambda: reading(one, two, out, 20_000))
    return flops, speed


def roofline(blanks: int) -> list[dict]:
    """The kernel's share of the limit, for lays that fit."""
    board = board_of(expected_boards(1, 1)[0].board)
    profile = profile_of_board(board)
    packed = PackedRack(Rack(profiles_of(generated(blanks))), Bay())
    count, seconds, _ = lays(profile, packed)
    flops, speed = peaks()
    stations = profile.x.size
    least = stations * max((READ + FITTED_ON) / flops, BYTES / speed)
    return [
        row("one lay in the kernel, one core", 1e6 * seconds / count, "us"),
        row("peak of one core, compiled products and sums", 1e-9 * flops, "Gflop/s"),
        row("speed of reading and writing in the caches", 1e-9 * speed, "GB/s"),
        row("one lay at the limit", 1e6 * least, "us"),
        row("share of the limit that the kernel reaches", 100.0 * least * count / seconds, "%"),
    ]


def rows(
    stations: tuple[int, ...] = (65, 129, 257, 513), blanks: tuple[int, ...] = (50, 100, 200, 400)
) -> list[dict]:
    """Everything."""
    return [*growth(stations, blanks), *roofline(blanks[-1])]


if __name__ == "__main__":
    for line in rows():
        print(f"{line['name']:<66} {line['value']:>12.4g} {line['unit']:<9} {line['asked']}")
