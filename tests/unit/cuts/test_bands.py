"""Rail bands: pencil lines that can be checked by hand, hard edges, refusals."""

import numpy as np
import pytest

from foamwright.cuts.bands import RailSection, Where, plan_bands, square_edge
from foamwright.cuts.polygons import hull, outside, polygon_area, support
from foamwright.errors import FaultError

ROOT = np.sqrt(2.0)


def quarter_round(radius=0.04, flat=0.2, n=2001):
    """A rail with a hard lower edge and a quarter circle above."""
    turn = np.linspace(0.0, np.pi / 2, n)
    arc = np.stack([flat + radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    return np.concatenate([[(0.0, 0.0)], arc, [(0.0, radius)]])


def soft_rail(half=0.25, thick=0.06, n=801):
    """A rail of two quarter ellipses, a fat one above and a low one below the apex."""
    turn = np.linspace(0.0, np.pi / 2, n)
    apex = 0.4 * thick
    deck = np.stack([half - 0.06 + 0.06 * np.cos(turn), apex + (thick - apex) * np.sin(turn)], axis=1)
    tuck = np.stack([half - 0.03 + 0.03 * np.sin(turn), apex - apex * np.cos(turn)], axis=1)
    return np.concatenate([[(0.0, 0.0)], tuck, deck[1:], [(0.0, thick)]])


def test_one_band_on_a_quarter_circle_lies_at_45_degrees_between_equal_lines():
    radius = 0.04
    plan = plan_bands(square_edge(quarter_round(radius), 0.24, 0.0, radius), 1, 0)
    (band,) = plan.bands
    outer, inner = band.lines
    assert (band.name, band.side) == ("deck band 1", Where.DECK)
    assert band.slope == pytest.approx(np.pi / 4, abs=1e-3)
    assert (outer.on, inner.on) == ("side", "deck")
    assert outer.from_edge == pytest.approx(radius * (2 - ROOT), rel=1e-3)
    assert inner.from_edge == pytest.approx(radius * (2 - ROOT), rel=1e-3)
    assert outer.height == pytest.approx(radius * (ROOT - 1), rel=1e-3)
    assert band.takes == pytest.approx(radius * (ROOT - 1), rel=1e-3)
    assert inner.height == pytest.approx(radius)


def test_later_bands_are_measured_from_the_edges_that_earlier_ones_left():
    radius = 0.04
    first, *later = plan_bands(square_edge(quarter_round(radius), 0.24, 0.0, radius), 3, 0).bands
    assert [line.on for line in first.lines] == ["side", "deck"]
    assert {tuple(line.on for line in band.lines) for band in later} == {
        ("side", "deck band 1"),
        ("deck band 1", "deck"),
    }
    # The flats are tangents 22.5 degrees apart: each corner is cut at tan(22.5/2) of the radius.
    edge = radius * (np.tan(np.pi / 8) - np.tan(np.pi / 16))
    for band in later:
        assert [line.from_edge for line in band.lines] == pytest.approx([edge, edge], rel=0.02)
        assert band.takes < first.takes


def test_hard_lower_edge_gets_no_band():
    plan = plan_bands(square_edge(quarter_round(), 0.24, 0.0, 0.04), 2, 3)
    assert {band.side for band in plan.bands} == {Where.DECK}


def test_soft_rail_gets_bands_on_both_sides_deck_first():
    plan = plan_bands(square_edge(soft_rail(), 0.25, 0.0, 0.06), 3, 1)
    assert [band.name for band in plan.bands] == [
        "deck band 1",
        "deck band 2",
        "deck band 3",
        "bottom band 1",
    ]
    outer, inner = plan.bands[-1].lines
    assert (outer.on, inner.on) == ("side", "bottom")
    assert inner.height == 0.0


def test_bands_run_over_the_side_allowance_and_stay_outside_the_finished_edge():
    finished = soft_rail()
    plan = plan_bands(square_edge(finished, 0.256, 0.0, 0.06), 2, 1)
    assert 0.25 < plan.outline[:, 0].max() <= 0.256
    assert polygon_area(plan.outline) > polygon_area(finished)


def test_domed_deck_before_the_bands():
    finished = soft_rail()
    dome = np.array([(0.25, 0.061), (0.12, 0.065), (0.0, 0.066)])
    stage = np.concatenate([[(0.0, 0.0), (0.25, 0.0)], dome])
    plan = plan_bands(RailSection(finished, stage), 3, 1)
    for band in plan.bands:
        assert band.takes > 0.0
    assert support(plan.outline, np.pi / 2) == pytest.approx(0.066)


def test_concave_bottom_is_no_work_of_bands():
    finished = soft_rail()
    dished = np.concatenate([[(0.0, 0.004), (0.1, 0.003)], finished[1:]])
    flat = plan_bands(square_edge(finished, 0.25, 0.0, 0.06), 2, 1)
    scooped = plan_bands(square_edge(dished, 0.25, 0.0, 0.06), 2, 1)
    assert [band.slope for band in scooped.bands] == pytest.approx([band.slope for band in flat.bands])


def test_tuck_under_a_vee_is_measured_along_the_vee():
    finished = soft_rail()
    vee = finished.copy()
    vee[:, 1] -= 0.01 * (1.0 - finished[:, 0] / 0.25)
    stage = np.array([(0.0, -0.01), (0.25, 0.0), (0.25, 0.06), (0.0, 0.06)])
    band = plan_bands(RailSection(vee, stage), 2, 1).bands[-1]
    assert (band.lines[0].on, band.lines[1].on) == ("side", "bottom")
    assert band.lines[1].height < 0.01
    assert band.slope > np.arctan(0.01 / 0.25)


def test_no_bands_leave_the_square_edge():
    section = square_edge(soft_rail(), 0.25, 0.0, 0.06)
    plan = plan_bands(section, 0, 0)
    assert plan.bands == ()
    assert plan.left == pytest.approx(0.25 * 0.06 - polygon_area(hull(section.finished)))


def test_json_names_both_lines():
    document = plan_bands(square_edge(soft_rail(), 0.25, 0.0, 0.06), 1, 1).as_json()
    first = document["bands"][0]
    assert {line["on"] for line in first["lines"]} == {"side", "deck"}
    assert first["lines"][0].keys() == {"on", "from_edge_m", "height_m"}


@pytest.mark.parametrize(
    ("finished", "stage", "words"),
    [
        (soft_rail(), [(0, 0), (0.24, 0), (0.24, 0.06), (0, 0.06)], r"10\.00 mm outside"),
        (soft_rail()[1:], [(0, 0), (0.25, 0), (0.25, 0.06), (0, 0.06)], "begin and end"),
        (soft_rail(), [(0, 0), (0.25, 0), (0, 0.06)], "four corners"),
    ],
)
def test_sections_that_make_no_sense_are_refused(finished, stage, words):
    with pytest.raises(FaultError, match=words):
        RailSection(finished, np.array(stage, dtype=float))


def test_support_and_distance_of_a_square():
    square = np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])
    assert support(square, np.array([0.0, np.pi / 4])) == pytest.approx([2.0, 2.0 * ROOT])
    assert outside(square, 0.0, 1.5) == pytest.approx([-1.5, 0.5, 0.5, -1.5])
    assert polygon_area(hull(np.concatenate([square, [(1.0, 1.0), (1.0, 0.0)]]))) == pytest.approx(4.0)
