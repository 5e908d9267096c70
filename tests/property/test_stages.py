"""Laws of the stages over random boards in random blanks: foam never grows, and the core is always inside.

The same law over 1,000 fitting plans is measured by ``benchmarks/stages_nested.py``.
"""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.errors import InputError
from foamwright.planning.build import survey_of
from foamwright.stages.solids import Chain, StageName, chain_of
from tests.trade import random_blank, random_board


def random_chain(seed: int) -> Chain | None:
    """Return the chain of a random board in its random blank, or None where it does not fit."""
    try:
        board, blank = board_of(random_board(seed)), blank_of(random_blank(seed))
    except InputError:
        return None
    choice = survey_of(board, (blank,), Bay()).choices[0]
    if not choice.fits:
        return None
    return chain_of(board, blank, choice.placed, Bay().allowances.finish)


CHAINS = [chain for chain in map(random_chain, range(60)) if chain is not None]


def test_enough_of_the_random_plans_fit_to_mean_something() -> None:
    assert len(CHAINS) >= 12


@pytest.mark.parametrize("chain", CHAINS)
def test_foam_never_grows_and_the_core_is_inside_every_stage(chain: Chain) -> None:
    core = chain.stage(StageName.FINISHED)
    for outer, inner in zip(chain.stages[:-1], chain.stages[1:], strict=True):
        assert np.min(inner.bottom_across - outer.bottom_across) >= -1e-9
        assert np.max(inner.deck_across - outer.deck_across) <= 1e-9
        assert np.max(inner.half_width - outer.half_width) <= 1e-9
        assert np.min(core.bottom_across - outer.bottom_across) >= -1e-9
        assert np.max(core.deck_across - outer.deck_across) <= 1e-9


@pytest.mark.parametrize("chain", CHAINS)
def test_the_rest_of_each_face_only_grows_towards_the_tips(chain: Chain) -> None:
    for face in (chain.bottom, chain.deck):
        assert np.all(np.diff(face.rest[face.pivot :]) >= -1e-12)
        assert np.all(np.diff(face.rest[: face.pivot + 1]) <= 1e-12)
        assert np.min(face.even) >= -1e-9
