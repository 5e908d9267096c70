"""Board and rider at rest: weight carried, findings in words, pictures to scale, places that give a trim."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.brief.brief import Wish, brief_for
from foamwright.brief.kinds import Kind
from foamwright.findings import Severity
from foamwright.units import System
from foamwright.water.afloat import at_rest, craft_of, sinks
from foamwright.water.body import body_of
from foamwright.water.checks import check_buoyancy, check_roll, check_trim
from foamwright.water.comparison import Named, compare
from foamwright.water.picture import picture_of
from foamwright.water.postures import Posture
from foamwright.water.trim import Reach, lie_for_nose, lie_for_pitch, seat_for_pitch

SEA = 1025.9


@pytest.fixture(scope="module")
def lain(craft, body):
    return lie_for_nose(craft, body, SEA)


def test_weight_and_moment_are_carried_to_a_millionth(lain):
    afloat = lain.afloat
    pool, load = afloat.rest.pool, afloat.craft.load + afloat.rider.load
    assert abs(SEA * pool.volume / load.mass - 1.0) < 1e-6
    # The centre of buoyancy lies under the centre of mass, along the water's own upright.
    apart = pool.centre - load.centre
    level = apart - (apart @ afloat.rest.surface.up) * afloat.rest.surface.up
    assert np.linalg.norm(level) < 1e-6
    assert np.max(np.abs(afloat.rest.residual)) < 1e-10


def test_parts_under_water_add_up(lain):
    afloat = lain.afloat
    assert afloat.wet_board.volume + afloat.wet_rider.volume == pytest.approx(
        afloat.rest.pool.volume, rel=1e-13
    )
    assert 0.5 < afloat.share_under <= 1.0


def test_lying_where_the_nose_is_clear(lain, body):
    assert lain.reach is Reach.MET
    assert lain.afloat.nose_above == pytest.approx(2 * 0.0254, abs=1e-5)
    assert lain.afloat.tail_above < lain.afloat.nose_above
    assert check_trim(lain, System.INCH) == ()


def test_lying_for_a_pitch(craft, body):
    lain = lie_for_pitch(craft, body, SEA, np.radians(4.0))
    assert np.degrees(lain.afloat.pitch) == pytest.approx(4.0, abs=1e-3)


def test_a_trim_out_of_reach_is_told(craft, body):
    back = lie_for_nose(craft, body, SEA, clear=1.5)
    assert back.reach is Reach.TOO_FAR_BACK
    (finding,) = check_trim(back, System.MM)
    assert finding.code == "float-trim"
    assert "as far back as the board allows" in finding.sentence
    assert lie_for_nose(craft, body, SEA, clear=-1.0).reach is Reach.TOO_FAR_FORWARD


def test_a_board_alone_that_goes_under_is_a_note(craft, body):
    (finding,) = check_buoyancy(craft, body, SEA)
    assert (finding.code, finding.severity) == ("float-board-under", Severity.NOTE)
    assert finding.measured == pytest.approx(SEA * craft.columns.volume - 3.0)


def test_a_rider_who_sinks_is_a_stop_and_no_error(board, heavy):
    light = craft_of(board, 200.0)
    assert sinks(light, heavy, SEA)
    (finding,) = check_buoyancy(light, heavy, SEA)
    assert (finding.code, finding.severity) == ("float-sinks", Severity.STOP)
    assert finding.measured > finding.limit
    needed = float(finding.remedy.split("needs ")[1].split(" litres")[0]) / 1000.0
    bigger = SEA * (light.columns.volume + heavy.volume + needed)
    assert bigger == pytest.approx(light.mass + heavy.mass, abs=0.1)


def test_a_big_board_says_nothing(board, rider):
    child = body_of(replace(rider, mass=25.0, stature=1.25))
    assert check_buoyancy(craft_of(board, 3.0), child, SEA) == ()


def test_sitting_raises_the_nose_and_keeps_the_rider_upright(craft, body):
    afloat = at_rest(craft, body, SEA, Posture.SITTING, 0.42 * craft.board.length)
    assert afloat.pitch > np.radians(10.0)
    assert np.max(np.abs(afloat.rest.residual)) < 1e-8
    assert afloat.breastbone_above > 0.1
    assert check_roll(afloat)[0].code == "float-roll"


@pytest.mark.parametrize("posture", [Posture.SITTING, Posture.KNEELING])
def test_seat_for_a_pitch_leaves_no_moment(craft, body, posture):
    afloat = seat_for_pitch(craft, body, SEA, posture, np.radians(15.0))
    assert np.degrees(afloat.pitch) == pytest.approx(15.0, abs=1e-9)
    assert abs(afloat.moment) < 1e-9
    assert afloat.rest.pool.volume * SEA == pytest.approx(craft.mass + body.mass, rel=1e-10)


def test_no_seat_where_none_balances(rider):
    """A child cannot stand a long board on its tail by sitting on it."""
    child = body_of(replace(rider, mass=20.0, stature=1.1))
    long = craft_of(board_of(brief_for(rider, Wish(Kind.LONG_BOARD)).board.numbers), 4.0)
    assert seat_for_pitch(long, child, SEA, Posture.SITTING, np.radians(60.0)) is None


def test_long_board_lies_far_forward(rider, body):
    """A case that once ended in the noise of the sums: flat water under a board wholly awash."""
    long = board_of(brief_for(rider, Wish(Kind.LONG_BOARD)).board.numbers)
    afloat = lie_for_nose(craft_of(long, 4.15), body, SEA).afloat
    assert afloat.nose_above == pytest.approx(2 * 0.0254, abs=1e-5)
    assert afloat.rider.place > 0.6 * long.length


def test_picture_is_to_scale(lain):
    picture = picture_of(lain.afloat)
    spots = {spot.name: spot for spot in picture.spots}
    assert spots["nose"].above == pytest.approx(lain.afloat.nose_above, abs=1e-12)
    assert spots["breastbone"].above == pytest.approx(lain.afloat.breastbone_above, abs=1e-12)
    assert spots["tail"].forward == pytest.approx(0.0, abs=1e-12)
    assert spots["centre of mass"].forward == pytest.approx(spots["centre of buoyancy"].forward, abs=1e-8)
    ends = picture.board.points
    board = lain.afloat.craft.board
    deck = np.hypot(board.length, float(board.deck_line(board.length) - board.deck_line(0.0)))
    assert np.hypot(spots["nose"].forward, spots["nose"].above - spots["tail"].above) == pytest.approx(deck)
    assert ends.shape[1] == 2
    # Every ellipse reaches as high as its segment does, however it lies.
    drawn, surface = {o.name: o.points for o in picture.rider}, lain.afloat.rest.surface
    for segment in lain.afloat.rider.segments:
        top = surface.above(segment.shape.centre) + segment.shape.reach(surface.up)
        assert drawn[segment.name][:, 1].max() == pytest.approx(top, abs=0.003 * 0.5)


def test_comparison_of_boards_and_riders(craft, board, body, rider):
    heavier = body_of(replace(rider, mass=90.0))
    rows = compare([craft, craft_of(board, 8.0)], [Named("Mara", body), Named("Tor", heavier)], SEA)
    assert [(r.board, r.rider) for r in rows] == [("Groyne", n) for n in ("Mara", "Tor")] * 2
    assert rows[1].litres_per_kg < rows[0].litres_per_kg
    assert rows[1].lain.afloat.wet_rider.volume > rows[0].lain.afloat.wet_rider.volume
