"""Bodies laid on a board: mass and room kept, sides alike, upright in the world."""

import numpy as np
import pytest

from foamwright.water.body_tables import Part
from foamwright.water.postures import Posture, placed

POSTURES = list(Posture)


@pytest.mark.parametrize("posture", POSTURES)
def test_mass_and_volume_are_kept(board, body, posture):
    there = placed(board, body, posture, 1.1, 0.2)
    assert there.load.mass == pytest.approx(body.mass, rel=1e-12)
    assert there.displacer.volume == pytest.approx(body.volume, rel=1e-12)
    assert len(there.segments) == 16


@pytest.mark.parametrize("posture", POSTURES)
def test_sides_are_alike(board, body, posture):
    there = placed(board, body, posture, 1.1)
    assert there.load.centre[1] == pytest.approx(0.0, abs=1e-12)
    left = {s.name[5:]: s.shape.centre for s in there.segments if s.name.startswith("left")}
    right = {s.name[6:]: s.shape.centre for s in there.segments if s.name.startswith("right")}
    assert left.keys() == right.keys()
    for part, centre in left.items():
        assert right[part] == pytest.approx(centre * [1, -1, 1], abs=1e-12)


def test_prone_body_lies_on_the_deck_and_reaches_back_from_the_breastbone(board, body):
    there = placed(board, body, Posture.PRONE, 1.3)
    chest = next(s for s in there.segments if s.name == "chest")
    low = chest.shape.centre[2] - chest.shape.reach(np.array([0.0, 0.0, 1.0]))
    assert low == pytest.approx(float(board.deck_line(chest.shape.centre[0])), abs=0.01)
    assert there.breastbone[0] == pytest.approx(1.3)
    foot = next(s for s in there.segments if s.name == "left foot")
    reach = 1.3 - foot.shape.centre[0]
    segments = body.segments
    length = segments[Part.TRUNK].length + segments[Part.THIGH].length + segments[Part.SHANK].length
    assert length < reach < length + segments[Part.FOOT].length


@pytest.mark.parametrize("posture", [Posture.SITTING, Posture.KNEELING])
def test_upright_body_stays_upright_when_the_nose_comes_up(board, body, posture):
    nose_up = 0.5
    there = placed(board, body, posture, 1.0, nose_up)
    centres = {s.name: s.shape.centre for s in there.segments}
    spine = centres["chest"] - centres["hip"]
    up = np.array([np.sin(nose_up), 0.0, np.cos(nose_up)])
    assert spine / np.linalg.norm(spine) == pytest.approx(up, abs=1e-12)
