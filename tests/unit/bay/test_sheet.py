"""Bay sheets: what they become, and everything that can be wrong with them."""

from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bay.bay import Bay, Habits, Plane, Rates, Weights, usual_bay
from foamwright.bay.sheet import bay_from_text, bay_sheet, read_bay
from foamwright.errors import InputError
from foamwright.units import Unit

PLANE = '[[plane]]\nname = "jack"\nsole = 14\nmouth = 4.5\nwidth = 2.5\nchips = ["1/32", "1/64"]\n'


def test_an_empty_sheet_is_the_usual_bay(tmp_path: Path) -> None:
    file = tmp_path / "empty.bay.toml"
    file.write_text("", encoding="utf-8")
    assert read_bay(file) == Bay()


def test_every_key_takes_the_place_of_a_usual_number() -> None:
    bay = bay_from_text(
        'name = "mine"\nunits = "mm"\nrail_bands = 4\n'
        "[rates]\nstringer_min_per_m2 = 1\nfoam_min_per_m3 = 2\nhollow_factor = 3\nhard_factor = 5\n"
        "strip_min_per_m = 6\nstop_min = 7\nreading_min = 8\n"
        "[tape]\nfraction = 32\nstandard_error = 0.5\n"
        "[allowances]\nsaw = 7\nfinish = 0.4\nrun_off = 0.8\n"
        '[prices]\nlabour_hour = 55\ncurrency = "NZD"\n'
        "[rescue]\nrocker = 10\nthickness = 2\nwidth = 12\nconcave = 4\n"
        "[hands]\nstart = 3\neach = 0.15\n"
        '[[plane]]\nname = "jack"\nsole = 355\nmouth = 110\nwidth = 64\nchips = [0.8, 0.4]\n',
        "x.toml",
    )
    usual = Bay()
    assert (bay.name, bay.rail_bands) == ("mine", 4)
    assert bay.rates == Rates(1.0, 2.0, 3.0, 5.0, strip=6.0, stop=7.0, reading=8.0)
    assert bay.tape == replace(usual.tape, fraction=32, standard_error=0.0005)
    assert bay.allowances == replace(usual.allowances, saw=0.007, finish=0.0004, run_off=0.0008)
    assert bay.prices == replace(usual.prices, labour_hour=55.0, currency="NZD")
    assert bay.rescue == Weights(rocker=0.01, thickness=0.002, width=0.012, concave=0.004)
    assert bay.hands == Habits(start=0.003, each=0.15)
    assert bay.planes == (Plane("jack", 0.355, 0.11, 0.064, 0.8 * 0.064, (0.0008, 0.0004)),)


def test_one_number_leaves_the_others_as_usual() -> None:
    bay = bay_from_text("[rates]\nhard_factor = 9", "x.toml")
    assert bay == replace(Bay(), rates=replace(Bay().rates, hard=9.0))


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MM, Unit.CM])
def test_a_written_sheet_reads_back_to_the_same_bay(unit: Unit) -> None:
    bay = replace(
        Bay(), name="a “bay”", rates=replace(Bay().rates, stringer=901.25), rescue=Weights(width=0.02)
    )
    assert bay_from_text(bay_sheet(bay, unit), "x.toml") == bay


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[rates]\nstringr_min_per_m2 = 3", 2, "Did you mean “stringer_min_per_m2”?"),
        ("[rates]\nhollow_factor = 0.5", 2, "0.5 is not possible. A factor is from 1 to 1000"),
        ('[rates]\nhollow_factor = "x"', 2, "“x” is not a number. Write a factor, like 1.6"),
        ("rates = 3", 1, "3 stands where a table belongs. Write [rates]"),
        ("[tape]\nfraction = 16.0", 2, "16.0 is not a whole number. Write a division of the inch, like 16"),
        ("[tape]\nfraction = 0", 2, "0 is not possible"),
        ("[tape]\nfraction = 15", 2, "No tape divides the inch into 15. Write 8, 16, 32 or 64."),
        ("[allowances]\nsaw = 0.25", 2, "0.25 has no unit"),
        ("[allowances]\nsaw = -1", 2, "-1 has no unit"),
        ('units = "in"\n[allowances]\nsaw = -1', 3, "-1 is not possible. An allowance is from 0 to 2 in"),
        ('units = "in"\n[allowances]\nunits = "in"', 3, "It belongs at the top of the sheet"),
        (
            'units = "in"\n[rescue]\nwidth = 0',
            3,
            "0 is not possible. A change is from 1/64 in (0.4 mm) to 6 in",
        ),
        ('units = "in"\n[rescue]\nlength = 1', 3, "The key “length” is unknown"),
        ("[prices]\nlabour_hour = -1", 2, "-1 is not possible. A price is from 0"),
        (
            "[plane]\nname = 'a'",
            1,
            "A single table stands where entries belong. Write [[plane]], once for each",
        ),
        ("tools = 3", 1, "The key “tools” is unknown. It can be name, units"),
        ('units = "in"\n' + PLANE.replace("mouth = 4.5", "mouth = 14"), 5, "The mouth lies behind the sole"),
        ('units = "in"\n' + PLANE.replace('["1/32", "1/64"]', "[]"), 7, "There is no chip"),
        ('units = "in"\n' + PLANE.replace('["1/32", "1/64"]', '["1/64", "1/32"]'), 7, "do not get finer"),
        ('units = "in"\n' + PLANE.replace('"1/64"]', '"thin"]'), 7, "“thin” is not a length"),
        ('units = "in"\n' + PLANE.replace("sole = 14\n", ""), 2, "“sole” is missing. Add sole = 14"),
        ('units = "in"\n' + PLANE + PLANE, 9, "“jack” is another plane too"),
    ],
)
def test_what_is_wrong_is_told_with_its_line_and_remedy(text: str, line: int, words: str) -> None:
    with pytest.raises(InputError, match=rf"^x\.toml, line {line}, ") as caught:
        bay_from_text(text, "x.toml")
    (problem,) = caught.value.problems
    assert words in str(problem)
    assert problem.remedy


def test_a_metric_bay_has_what_is_sold_in_millimetres() -> None:
    bay = bay_from_text('units = "mm"', "x.toml")
    assert bay == usual_bay(Unit.MM) != Bay()
    assert [plane.sole for plane in bay.planes] == [0.090, 0.180, 0.350]
    assert bay.allowances.saw == 0.006
    assert "sole = 90" in bay_sheet(bay, Unit.MM)
