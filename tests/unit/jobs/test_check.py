"""``foamwright check``'s job: the finished board's numbers as JSON."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.errors import InputError
from foamwright.jobs.check import check_job, checked
from foamwright.shape.trade_curves import Point, touching
from foamwright.stations import Mark
from foamwright.units import INCH, System
from tests.boards import GROYNE, groyne, marks

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo" / "groyne.board.toml"

KEYS = {"length_m", "volume_l", "area_m2", "width_m", "thickness_m", "warnings", "profile"}
PROFILE = {"x_m", "rocker_m", "thickness_m", "half_width_m", "pre_contour_bottom_m"}


def test_json_has_the_fixed_keys_and_is_json() -> None:
    told = json.loads(json.dumps(checked(groyne()).as_json(), allow_nan=False))
    assert set(told) >= KEYS
    assert set(told["profile"]) == PROFILE
    assert {len(column) for column in told["profile"].values()} == {77}
    assert set(told["fairness"]) == {"rocker", "foil", "outline"}
    assert all("span^5" in one["norm"] for one in told["fairness"].values())


def test_numbers_are_the_boards() -> None:
    told, board = checked(groyne()).as_json(), groyne()
    assert told["length_m"] == board.length
    assert told["volume_l"] == pytest.approx(1000.0 * board.mass.volume, rel=1e-15)
    assert told["width_m"] == GROYNE.wide
    assert told["thickness_m"] == GROYNE.thickest
    assert told["low_at_m"] == board.low_at
    assert told["widths_m"]["12 in from tail"] == pytest.approx(14.875 * INCH, abs=1e-12)
    x = np.array(told["profile"]["x_m"])
    np.testing.assert_array_equal(told["profile"]["rocker_m"], board.rocker(x))
    np.testing.assert_array_equal(told["profile"]["pre_contour_bottom_m"], board.pre_contour(x))


def test_fair_curves_have_no_inflection_and_hollow_ones_say_where() -> None:
    fair = checked(groyne()).fairness
    assert all(one.inflections_m == () for one in fair.values())
    pulled = replace(GROYNE, thickness=marks((0, 0.625), (12, 1.6875), (64, 0.8), (76, 0.5)))
    inflections = checked(board_of(pulled)).fairness["foil"].inflections_m
    assert len(inflections) == 1
    assert 40 * INCH < inflections[0] < 70 * INCH


def test_fairness_has_no_scale() -> None:
    """The rocker of a board twice as long and twice as high bends as fairly."""
    points = tuple(Point(2 * m.x, 2 * m.value, m.place) for m in GROYNE.rocker)
    small, large = checked(groyne()).fairness["rocker"], touching(points, None).curve.fairness()
    assert large == pytest.approx(small.figure, rel=1e-8)


def test_boxes_with_too_little_foam_are_among_the_warnings() -> None:
    fins = usual_fins(Layout.ONE, [*GROYNE.outline, Mark(GROYNE.wide_at, GROYNE.wide, "wide")])
    deep = tuple(replace(fin, box_depth=1.25 * INCH) for fin in fins)
    codes = [f.code for f in checked(board_of(replace(GROYNE, fins=deep))).warnings]
    assert codes == ["finish-box-thin"]


def test_a_sheet_from_a_file() -> None:
    told = check_job(DEMO, System.MM)
    assert told.name == "Groyne"
    assert told.volume == pytest.approx(groyne().mass.volume, rel=1e-6)
    assert told.warnings == ()
    assert (told.length, told.width, told.thickness) == (GROYNE.length, GROYNE.wide, GROYNE.thickest)
    assert told.area == pytest.approx(groyne().mass.area, rel=1e-6)


def test_unfair_sheets_are_told_in_the_units_asked_for(tmp_path: Path) -> None:
    sheet = tmp_path / "bumped.board.toml"
    text = DEMO.read_text("utf-8")
    assert '"12 from tail" = 0.85' in text
    sheet.write_text(text.replace('"12 from tail" = 0.85', '"12 from tail" = 2.0'), "utf-8")
    with pytest.raises(InputError, match=r"\[rocker\] .*: is 50\.8 mm, but no fair rocker"):
        check_job(sheet, System.MM)


def test_an_edge_too_steep_hides_nothing_else(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("angle = 45", "angle = 80")
    contour = '[[bottom.contour]]\nshape = "concave"\ndepth = 1\n'
    sheet = tmp_path / "board.toml"
    sheet.write_text(f"{text}\n{contour}", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        check_job(sheet)
    said = [str(problem) for problem in caught.value.problems]
    assert "so steep an edge" in said[0]
    assert any("All contours together leave" in one for one in said)
    assert any("depth of 1 in is rare" in one for one in said)
