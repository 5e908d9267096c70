"""Depth marks for the contours."""

import numpy as np
import pytest

from foamwright.cuts.scoop import BottomGrid, plan_scoop
from foamwright.errors import FaultError
from foamwright.units import INCH

X = np.linspace(0.0, 1.8, 7)
SHARES = np.linspace(0.0, 1.0, 9)
HALF = 0.25 + 0.0 * X
ROCKER = 0.02 * (X - 0.9) ** 2


def bottom(shape, depth):
    """A bottom with one lateral shape, its depth rising to the middle station."""
    along = depth * np.sin(np.pi * X / X[-1])
    return BottomGrid(X, SHARES, HALF, ROCKER, ROCKER[:, None] + along[:, None] * shape(SHARES))


def concave(share):
    return np.clip(1.0 - (share / 0.75) ** 2, 0.0, 1.0)


def double_concave(share):
    return np.sin(np.pi * np.clip(share / 0.75, 0.0, 1.0)) ** 2


def vee(share):
    return share


def test_concave_of_an_eighth_is_marked_an_eighth_at_the_stringer():
    # Common practice, no source: 1/8 in of concave is held back until the contours are cut.
    scoop = plan_scoop(bottom(concave, INCH / 8))
    assert scoop.marks[3, 0] == pytest.approx(INCH / 8)
    assert scoop.edge_gap[3, 0] == pytest.approx(INCH / 8)
    assert scoop.needed
    assert not any(scoop.rocks)


@pytest.mark.parametrize("shape", [concave, double_concave, vee])
def test_marks_are_never_deeper_and_less_than_a_step_shallower(shape):
    scoop = plan_scoop(bottom(shape, 0.1234 * INCH), INCH / 32)
    assert (scoop.marks <= scoop.exact + 1e-12).all()
    assert (scoop.exact - scoop.marks < INCH / 32).all()
    steps = scoop.marks / INCH * 32
    assert np.abs(steps - np.rint(steps)).max() < 1e-9


def test_vee_rocks_on_the_stringer_and_falls_away_to_the_rail():
    scoop = plan_scoop(bottom(vee, INCH / 8))
    assert scoop.rocks[3]
    assert scoop.edge_gap[3] == pytest.approx(INCH / 8 * SHARES)
    assert scoop.exact[3, 0] == 0.0


def test_double_concave_touches_at_the_stringer_and_outside():
    scoop = plan_scoop(bottom(double_concave, INCH / 8))
    assert scoop.edge_gap[3, [0, 6, 8]] == pytest.approx([0.0, 0.0, 0.0])
    assert scoop.edge_gap[3, 3] == pytest.approx(INCH / 8)


def test_work_goes_from_the_deepest_station_outwards():
    scoop = plan_scoop(bottom(concave, INCH / 8))
    assert scoop.stations == (3, 2, 4, 1, 5, 0, 6)


def test_flat_bottom_needs_no_scoop():
    scoop = plan_scoop(bottom(concave, 0.0))
    assert not scoop.needed
    assert not scoop.marks.any()


def test_places_are_given_from_the_stringer():
    document = plan_scoop(bottom(concave, INCH / 8)).as_json()
    assert document["y_m"][0][-1] == pytest.approx(0.25)
    assert len(document["mark_m"]) == X.size


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"finished": np.zeros((7, 3))}, "every station and share"),
        ({"shares": SHARES[::-1]}, "rise from 0"),
        ({"flat": ROCKER + 0.001}, "add foam"),
    ],
)
def test_bottoms_that_make_no_sense_are_refused(change, words):
    parts = {"x": X, "shares": SHARES, "half_width": HALF, "flat": ROCKER}
    parts["finished"] = np.repeat(ROCKER[:, None], 9, axis=1)
    with pytest.raises(FaultError, match=words):
        BottomGrid(**(parts | change))
