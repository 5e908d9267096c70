"""How far a sole reaches, straight and turned, and the hollow that it just enters."""

from math import radians, sin

import numpy as np
import pytest

from foamwright.bay.bay import Bay, Plane
from foamwright.cuts.runs import Strokes
from foamwright.cuts.simulation import Workpiece
from foamwright.cuts.sole import contact_radius, hollow_gap, turned
from foamwright.units import INCH

JACK = Bay().planes[0]


def test_straight_plane_has_its_whole_sole():
    straight = turned(JACK, 0.0)
    assert (straight.behind, straight.ahead) == pytest.approx((JACK.sole - JACK.mouth, JACK.mouth))


def test_slightly_turned_sole_on_a_wide_plane_grows_as_one_over_cosine():
    wide = Plane("wide", 0.2, 0.05, 0.2, 0.16, (0.001,))
    assert turned(wide, 30.0).length == pytest.approx(0.2 / np.cos(np.pi / 6))


@pytest.mark.parametrize("skew", [15.0, 30.0, 45.0, 60.0])
def test_turned_sole_is_as_long_as_the_plane_is_wide_across_the_stringer(skew):
    sole = turned(JACK, skew)
    assert sole.length == pytest.approx(JACK.width / sin(radians(skew)))
    assert sole.ahead / sole.length == pytest.approx(JACK.mouth / JACK.sole)


def test_sole_across_the_stringer_is_the_plane_width():
    assert turned(JACK, 90.0).length == pytest.approx(JACK.width)


def test_contact_radius_is_where_the_gap_is_the_chip():
    sole = turned(JACK, 45.0)
    radius = contact_radius(sole, INCH / 64)
    assert hollow_gap(sole, radius) == pytest.approx(INCH / 64, rel=1e-9)
    assert radius == pytest.approx(sole.ahead * sole.behind / (2 * INCH / 64), rel=2e-3)


@pytest.mark.parametrize("skew", [0.0, 30.0, 45.0])
def test_simulated_contact_is_lost_at_the_closed_form_radius(skew):
    chip = INCH / 64
    sole = turned(JACK, skew)
    closed_form = sole.ahead * sole.behind / (2 * chip)

    def cut(radius):
        x = np.linspace(0.0, 3.0 * sole.length, 4001)
        work = Workpiece(x, JACK)
        height = x**2 / (2.0 * radius)
        after = work.after_stroke(height, Strokes(x[-1], 1, chip, skew))
        return (height - after)[2000]

    assert cut(closed_form * 0.99) == 0.0
    assert cut(closed_form * 1.01) == pytest.approx(0.01 * chip, rel=0.3)
