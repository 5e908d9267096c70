"""Marks: what a tape, a straight edge and calipers should show."""

from __future__ import annotations

import numpy as np
import pytest

from foamwright.blank.numbers import Face
from foamwright.stages.marks import rack_stations
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System
from tests.plans import demo_plan


def test_stations_are_where_a_tape_finds_them_and_rise() -> None:
    stations = rack_stations(76 * INCH)
    names = [s.name for s in stations]
    assert names[0] == "tail"
    assert names[-1] == "nose"
    assert {"12 from tail", "24 from tail", "centre", "12 from nose"} <= set(names)
    assert np.all(np.diff([s.x for s in stations]) > 0.0)
    assert next(s.x for s in stations if s.name == "12 from nose") == pytest.approx(64 * INCH)


def test_metric_stations_say_their_unit() -> None:
    names = [s.name for s in rack_stations(1.93, System.MM)]
    assert "300 mm from tail" in names


def test_the_depths_of_all_stages_add_up_to_blank_less_core() -> None:
    plan = demo_plan()
    blank, core = plan.chain.stage(StageName.BLANK), plan.chain.stage(StageName.FINISHED)
    for station in plan.stations:
        for face, whole in (
            (Face.BOTTOM, np.interp(station.x, core.x, core.bottom - blank.bottom)),
            (Face.DECK, np.interp(station.x, core.x, blank.deck - core.deck)),
        ):
            parts = [m.take_off for m in plan.marks if m.station == station and m.face is face]
            assert sum(parts) == pytest.approx(whole, abs=1e-12), (station.name, face)
            assert min(parts) >= -1e-12


def test_the_last_marks_are_the_numbers_the_shaper_asked_for() -> None:
    plan = demo_plan()
    last = {m.station.name: m for m in plan.marks if m.stage is StageName.FINISHED and m.face is Face.BOTTOM}
    assert last["nose"].from_new_level == pytest.approx(4.75 * INCH, abs=1e-6)
    assert last["12 from nose"].from_new_level == pytest.approx(1.9 * INCH, abs=1e-6)
    assert last["tail"].thickness == pytest.approx(0.625 * INCH, abs=1e-9)
    assert last["12 from tail"].width == pytest.approx(14.875 * INCH, abs=1e-6)


def test_heights_above_the_blanks_level_line_follow_the_lay() -> None:
    plan = demo_plan()
    mark = next(m for m in plan.marks if m.stage is StageName.ROCKER and m.station.name == "nose")
    rocker = plan.chain.stage(StageName.ROCKER)
    line = plan.lay.lift + plan.lay.tilt * mark.station.x
    assert mark.from_blank_level == pytest.approx(rocker.bottom[-1] + line)
