"""Random boards laid in random blanks: in how many plans is every stage inside the one before?"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.errors import FaultError, InputError
from foamwright.planning.build import survey_of
from foamwright.stages.solids import chain_of
from tests.trade import random_blank, random_board


def rows(count: int = 1000) -> list[dict]:
    """Plan until `count` random boards have fitted their blanks; count the chains that are not nested."""
    fitted = broken = seed = 0
    began = time.perf_counter()
    while fitted < count and seed < 10 * count:
        seed += 1
        try:
            board, blank = board_of(random_board(seed)), blank_of(random_blank(seed))
        except InputError:
            continue
        choice = survey_of(board, (blank,), Bay()).choices[0]
        if not choice.fits:
            continue
        fitted += 1
        try:
            chain_of(board, blank, choice.placed, Bay().allowances.finish)
        except FaultError:
            broken += 1
    assert broken == 0, f"{broken} of {fitted} chains were not nested"
    seconds = time.perf_counter() - began
    return [
        {
            "name": "random plans that fit, stages nested",
            "value": fitted - broken,
            "unit": "plans",
            "asked": "1000",
        },
        {"name": "random boards tried for it", "value": seed, "unit": "boards", "asked": ""},
        {"name": "time for all of them", "value": seconds, "unit": "s", "asked": ""},
    ]


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 1000):
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
