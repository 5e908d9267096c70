"""Foam beside the stringer: strips, layers, volume."""

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.cuts.foam import OVERLAP, plan_foam
from foamwright.errors import FaultError
from foamwright.units import INCH

JACK = Bay().planes[-1]
X = np.linspace(0.0, 2.0, 201)


def test_a_box_of_foam_by_hand():
    work = plan_foam(X, 0.25 + 0.0 * X, INCH / 8 + 0.0 * X, JACK, 2.0 * INCH)
    strip = 2.0 * INCH * (1.0 - OVERLAP)
    assert work.strips == int(np.ceil(0.25 / strip))
    assert work.layers == 4
    assert work.volume == pytest.approx(2.0 * 0.5 * INCH / 8)
    assert work.path == pytest.approx(work.volume / (strip * INCH / 32))
    assert "from the stringer outwards" in work.as_json()["direction"]


def test_only_where_the_face_is_cut():
    half = np.where(X < 1.0, 0.3, 0.1)
    work = plan_foam(X, half, np.where(X < 1.0, 0.0, 0.001), JACK, 2.0 * INCH)
    assert work.strips == int(np.ceil(0.1 / (2.0 * INCH * (1.0 - OVERLAP))))


def test_nothing_to_do():
    work = plan_foam(X, 0.25 + 0.0 * X, 0.0 * X, JACK, 2.0 * INCH)
    assert (work.strips, work.layers, work.path, work.volume) == (0, 0, 0.0, 0.0)


def test_iron_wider_than_its_plane_is_refused():
    with pytest.raises(FaultError, match="narrower"):
        plan_foam(X, 0.25 + 0.0 * X, 0.0 * X, JACK, 0.1)
