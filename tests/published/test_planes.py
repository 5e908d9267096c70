"""Planes against published numbers: sole gaps on a hollow, lengths of planes."""

import tomllib
from math import sqrt
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.bay import Bay, Plane
from foamwright.cuts.runs import Strokes
from foamwright.cuts.simulation import Workpiece
from foamwright.cuts.sole import contact_radius, hollow_gap, turned
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


def taken_mm(plane, radius_mm):
    """What one stroke takes in the middle of a long circular hollow."""
    x = np.linspace(0.0, 4.0 * plane.sole, 4097)
    radius = radius_mm / 1000
    before = radius - np.sqrt(radius**2 - (x - x[-1] / 2) ** 2)
    after = Workpiece(x, plane).after_stroke(before, Strokes(x[-1], 1, plane.chips[0]))
    return (before - after)[2048] * 1000


@pytest.mark.parametrize("name", GAPS)
def test_gap_under_the_middle_of_a_sole(name):
    sole, radius = GAPS[name]
    plane = middle_mouth(sole, 1.0)
    gap = hollow_gap(turned(plane, 0.0), radius / 1000) * 1000
    assert gap == pytest.approx(PUBLISHED[name]["value"], abs=PUBLISHED[name]["tol"])


@pytest.mark.parametrize("name", GAPS)
def test_simulated_stroke_cuts_only_with_a_chip_deeper_than_the_published_gap(name):
    sole, radius = GAPS[name]
    gap = PUBLISHED[name]["value"]
    assert taken_mm(middle_mouth(sole, 0.995 * gap), radius) == 0.0
    assert taken_mm(middle_mouth(sole, 1.5 * gap), radius) == pytest.approx(0.5 * gap, rel=0.01)


@pytest.mark.parametrize("name", GAPS)
def test_longest_sole_that_still_cuts_is_the_root_of_eight_radii_times_the_chip(name):
    # The note beside the published gaps: s = sqrt(8 R t).
    sole, radius = GAPS[name]
    chip = hollow_gap(turned(middle_mouth(sole, 1.0), 0.0), radius / 1000) * 1000
    assert sqrt(8.0 * radius * chip) == pytest.approx(sole, rel=2e-3)
    assert contact_radius(turned(middle_mouth(sole, 1.0), 0.0), chip / 1000) * 1000 == pytest.approx(radius)


def test_planes_of_the_bay_have_published_lengths():
    jack, block = Bay().planes[:2]
    low, high = PUBLISHED["jack_length_range"]["value"]
    assert jack.sole / INCH == pytest.approx(PUBLISHED["jack_length"]["value"], abs=0.25)
    assert low <= jack.sole / INCH <= high
    assert block.sole / INCH == pytest.approx(PUBLISHED["block_length"]["value"], abs=0.25)
