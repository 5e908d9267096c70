"""The true rotation of a lay: measured, and corrected where the small tilt promised too much."""

from dataclasses import replace

import numpy as np
import pytest

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.lay.limits import Allowed, Lay
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.rotation import points_of, settled, verify_rotation
from foamwright.lay.survey import survey
from lay_cases import INCH

BAY = Bay()
SAW = BAY.allowances.saw
BOARD = cases.plain_board()
PROFILE = profile_of_board(BOARD)
POINTS = points_of(BOARD)
NOTHING = Allowed(0.0, 0.0, np.inf, np.inf)


def test_no_tilt_no_difference():
    check = verify_rotation(POINTS, cases.plain_blank(), Lay(INCH, 0.001, 0.0), NOTHING, SAW)
    assert check.difference == 0.0


def test_difference_of_a_tilt_is_what_geometry_says():
    # On a level slab a turned point rises by x (sin t - t) + z (cos t - 1) more than the small tilt says.
    tilt, blank = 0.03, cases.flat_blank(BOARD, thick=5 * INCH)
    level = replace(blank, bend=cases.Bend(0.0, 0.0, 0.0, 0.0))
    check = verify_rotation(POINTS, level, Lay(INCH, 0.0, tilt), NOTHING, SAW)
    x, z = POINTS.x, POINTS.bottom
    expected = x * (np.sin(tilt) - tilt) + z * (np.cos(tilt) - 1)
    assert check.true.bottom - check.small_tilt.bottom == pytest.approx(expected, abs=1e-12)


def test_clearance_is_measured_from_the_skims():
    lay, blank = Lay(INCH, 0.001, 0.0), cases.plain_blank()
    bare = verify_rotation(POINTS, blank, lay, NOTHING, SAW).true
    skims = verify_rotation(POINTS, blank, lay, Allowed(0.002, 0.003, np.inf, np.inf), SAW + 0.001).true
    assert bare.bottom - skims.bottom == pytest.approx(0.002, abs=1e-12)
    assert bare.deck - skims.deck == pytest.approx(0.003, abs=1e-12)
    assert bare.outline - skims.outline == pytest.approx(0.001, abs=1e-12)


@pytest.fixture(scope="module")
def lays():
    rng = np.random.default_rng(8)
    blanks = [cases.random_blank(rng, BOARD, f"B{n}") for n in range(60)]
    found = survey(PROFILE, Rack(tuple(profile_of_blank(b) for b in blanks)), BAY)
    by_name = {b.numbers.id: b for b in blanks}
    return [(c, by_name[c.id]) for c in found.choices if c.fits]


def test_settled_lays_truly_fit(lays):
    broken = 0
    for choice, blank in lays:
        found = settled(choice, BOARD, blank)
        assert found is not None
        before = verify_rotation(POINTS, blank, choice.placed, choice.allowed, SAW)
        after = verify_rotation(POINTS, blank, found.choice.placed, choice.allowed, SAW)
        broken += not before.holds
        assert after.holds
        assert after.true.least == found.check.true.least
    # Without a lay that the small tilt gets wrong, nothing was tested here.
    assert broken > 5


def test_settling_costs_next_to_nothing(lays):
    for choice, blank in lays:
        found = settled(choice, BOARD, blank).choice
        if found.placed.slide == choice.placed.slide:
            assert -1e-9 < found.work_min - choice.work_min < 0.01 * choice.work_min


def test_settled_lay_is_the_best_under_its_limits(lays):
    for choice, blank in lays[:10]:
        found = settled(choice, BOARD, blank).choice
        line = found.limits.best_line(found.toward)
        assert (line.lift, line.tilt) == pytest.approx((found.placed.lift, found.placed.tilt), abs=1e-12)
        assert np.all(found.limits.lower >= choice.limits.lower) or found.placed.slide != choice.placed.slide


def test_lay_that_cannot_be_turned_is_told():
    # The blank follows the untilted board with nothing to spare, and is made to hold it tilted.
    class Tilted(cases.ShiftedBlank):
        def bottom(self, x):
            return super().bottom(x) + 0.05 * (np.asarray(x) - self.slide)

        def deck(self, x):
            return super().deck(x) + 0.05 * (np.asarray(x) - self.slide)

    base = cases.shifted_blank(BOARD, INCH, spare=1e-6)
    blank = Tilted(**vars(base))
    choice = survey(PROFILE, Rack((profile_of_blank(blank),)), BAY).choices[0]
    assert choice.fits
    assert settled(choice, BOARD, blank) is None
