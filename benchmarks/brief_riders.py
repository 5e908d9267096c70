"""Every kind of board for 1,000 riders of the ANSUR II survey: volume met, curves fair, `check` silent.

``python benchmarks/brief_riders.py [RIDERS]`` prints the figures; each is asserted before it is told. Half an
hour for all on one core; ``make brief-riders``.
"""

from __future__ import annotations

import sys
import time
import tomllib
from pathlib import Path

import numpy as np

from foamwright.board.board import Board, board_of
from foamwright.board.checks import check_board
from foamwright.board.sheet import board_from_text, board_sheet
from foamwright.brief.brief import MET, Wish, brief_for
from foamwright.brief.kinds import Kind, Waves
from foamwright.sheets.rider import AgeGroup, Experience, Lungs, RiderNumbers, Water
from foamwright.units import Unit

KINDS = [kind for kind in Kind if kind is not Kind.PADDLE]
RIDERS = Path(__file__).parents[1] / "tests" / "published" / "data" / "riders.toml"


def riders(count: int) -> list[RiderNumbers]:
    drawn = tomllib.loads(RIDERS.read_text("utf-8"))["riders"]
    skills = list(Experience)
    pairs = list(zip(drawn["mass_kg"], drawn["stature_mm"], strict=True))
    step = max(len(pairs) // count, 1)
    return [
        RiderNumbers(
            "rider", mass, stature / 1000.0, skills[i % 4], Lungs.RESTING, Water(15.0, 35.0), AgeGroup.ADULT
        )
        for i, (mass, stature) in enumerate(pairs[::step][:count])
    ]


def is_fair(board: Board) -> bool:
    """No hollow in the rocker, no bump in the foil, none in the outline."""
    x = np.linspace(0.02, board.length - 0.02, 200)
    rocker = board.rocker_curve(np.linspace(0.0, board.length, 400), 2)
    return (
        float(rocker.min()) > -1e-9
        and board.thickness_curve.inflections().size == 0
        and float(board.outline.side.bend(x).max()) < 1e-9
    )


def rows(count: int = 1000) -> list[dict]:
    """Every kind for so many riders."""
    people, waves = riders(count), list(Waves)
    worst, unfair, changed, made, refused, start = 0.0, 0, 0, 0, 0, time.perf_counter()
    told: dict[str, int] = {}
    for i, rider in enumerate(people):
        for kind in KINDS:
            board = brief_for(rider, Wish(kind, waves[(i // 4) % 4])).made
            if board is None:
                refused += 1
                continue
            made += 1
            solid = board_of(board.numbers)
            worst = max(worst, abs(board.volume - board.target))
            unfair += not is_fair(solid)
            for finding in check_board(solid):
                told[finding.code] = told.get(finding.code, 0) + 1
                print(
                    kind, rider.mass, rider.stature, rider.experience, waves[(i // 4) % 4], finding.sentence
                )
            if i % 50 == 0:
                changed += board_from_text(board_sheet(board.numbers, Unit.INCH), "sheet") != board.numbers
    each = (time.perf_counter() - start) / made
    assert worst <= MET, worst
    assert unfair == 0
    assert told == {}, told
    assert changed == 0
    return [
        row("boards for riders of the ANSUR II survey", made, "boards", f"{len(people)} riders, 11 kinds"),
        row("refused: waves, skill, or more than the kind carries", refused, "briefs", ""),
        row("volume missed by at most", 1e3 * worst, "l", "0.05 l or less"),
        row("unfair curves", unfair, "boards", "0"),
        row("findings of check", sum(told.values()), "findings", "0"),
        row("one brief", 1e3 * each, "ms", ""),
    ]


def row(name: str, value: float, unit: str, asked: str) -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 1000):
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
