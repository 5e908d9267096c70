"""Planes against published numbers: sole gaps on a hollow, lengths of planes."""

import tomllib
from math import sqrt
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.bay import Bay, Plane
from foamwright.cuts.planing import planed
from foamwright.cuts.run import Stroke
from foamwright.cuts.run_findings import bridged
from foamwright.cuts.sole import contact_radius, sole_of
from foamwright.units import INCH

PUBLISHED = tomllib.loads((Path(__file__).parent / "data" / "planes.toml").read_text(encoding="utf-8"))
GAPS = {
    "sole_gap_152_3000": (152.4, 3000.0),
    "sole_gap_228_3000": (228.6, 3000.0),
    "sole_gap_355_3000": (355.6, 3000.0),
    "sole_gap_355_10000": (355.6, 10000.0),
    "sole_gap_558_10000": (558.8, 10000.0),
}


def middle_mouth(sole_mm, chip_mm):
    """A plane whose iron is in the middle of the sole, as the published gaps take it."""
    return Plane("published", sole_mm / 1000, sole_mm / 2000, 0.05, 0.04, (chip_mm / 1000,))


def hollow(plane, radius_mm):
    """A circular hollow, seven soles before its middle and one after: places and heights, metres.

    A stroke's own start dies away by half with every half sole that the heel goes on.
    """
    x = np.linspace(0.0, 8.0 * plane.sole, 1601)
    radius = radius_mm / 1000
    return x, radius - np.sqrt(radius**2 - (x - 7.0 * plane.sole) ** 2)


def gap_mm(plane, radius_mm):
    """How far the iron's line stands over the foam in the middle of it."""
    return bridged(*hollow(plane, radius_mm), plane)[1400] * 1000


def taken_mm(plane, radius_mm):
    """What one stroke takes in the middle of it."""
    # A parabola of the circle's radius: from it every stroke's middle is the same. Seven soles away a circle
    # of 3 m stands at 56 degrees, where heights are no distances; under one sole both differ by a thousandth.
    x, _ = hollow(plane, radius_mm)
    before = (x - 7.0 * plane.sole) ** 2 / (2.0 * radius_mm / 1000)
    after = planed(x, before, plane, [Stroke(x[-1], plane.chips[0])])
    return (before - after)[1400] * 1000


@pytest.mark.parametrize("name", GAPS)
def test_gap_under_the_middle_of_a_sole(name):
    sole, radius = GAPS[name]
    gap = gap_mm(middle_mouth(sole, 1.0), radius)
    assert gap == pytest.approx(PUBLISHED[name]["value"], abs=PUBLISHED[name]["tol"])


@pytest.mark.parametrize("name", GAPS)
def test_simulated_stroke_cuts_only_with_a_chip_deeper_than_the_published_gap(name):
    # With the iron in the middle the steady cut is (chip - gap) / (1 - 1/2).
    sole, radius = GAPS[name]
    gap = PUBLISHED[name]["value"]
    assert taken_mm(middle_mouth(sole, 0.995 * gap), radius) == pytest.approx(0.0, abs=5e-3 * gap)
    assert taken_mm(middle_mouth(sole, 1.5 * gap), radius) == pytest.approx(gap, rel=0.02)


@pytest.mark.parametrize("name", GAPS)
def test_longest_sole_that_still_cuts_is_the_root_of_eight_radii_times_the_chip(name):
    # The note beside the published gaps: s = sqrt(8 R t).
    sole, radius = GAPS[name]
    chip = gap_mm(middle_mouth(sole, 1.0), radius)
    assert sqrt(8.0 * radius * chip) == pytest.approx(sole, rel=2e-3)
    assert contact_radius(sole_of(middle_mouth(sole, 1.0)), chip / 1000) * 1000 == pytest.approx(
        radius, rel=1e-3
    )


def test_planes_of_the_bay_have_published_lengths():
    _, block, jack = Bay().planes
    low, high = PUBLISHED["jack_length_range"]["value"]
    assert jack.sole / INCH == pytest.approx(PUBLISHED["jack_length"]["value"], abs=0.25)
    assert low <= jack.sole / INCH <= high
    assert block.sole / INCH == pytest.approx(PUBLISHED["block_length"]["value"], abs=0.25)
