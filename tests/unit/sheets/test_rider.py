"""Rider sheets: what they become, and everything that can be wrong with them."""

from pathlib import Path

import pytest

from foamwright.errors import InputError
from foamwright.sheets.rider import (
    Experience,
    Lungs,
    RiderNumbers,
    Water,
    freezing_point,
    read_rider,
    rider_from_text,
)

TEXT = """\
mass = "82 kg"
stature = "1.80 m"
experience = "intermediate"
water = "sea"
"""


def test_a_rider(tmp_path: Path) -> None:
    file = tmp_path / "a.rider.toml"
    file.write_text(TEXT, encoding="utf-8")
    assert read_rider(file) == RiderNumbers(
        "rider", 82.0, 1.8, Experience.INTERMEDIATE, Lungs.RESTING, Water(15.0, 35.0)
    )


@pytest.mark.parametrize(
    ("old", "new", "name", "value"),
    [
        ("mass", 'name = "Mara"\nmass', "name", "Mara"),
        ("82 kg", "12 st 4 lb", "mass", 78.01788764),
        ('"1.80 m"', '"5\'11\\""', "stature", 1.8034),
        ('"1.80 m"', '180\nunits = "cm"', "stature", 1.8),
        ("intermediate", "Beginner", "experience", Experience.BEGINNER),
        ("mass", 'lungs = "full"\nmass', "lungs", Lungs.FULL),
        ('"sea"', '"fresh water, 12.5 °C"', "water", Water(12.5, 0.0)),
        ('"sea"', '"sea, -1 C"', "water", Water(-1.0, 35.0)),
        ('"sea"', '{ temperature = 20, salinity = 10 }', "water", Water(20.0, 10.0)),
        ('"sea"', '{ temperature = 20, salinity = "sea" }', "water", Water(20.0, 35.0)),
    ],
)  # fmt: skip
def test_what_else_a_rider_can_be(old: str, new: str, name: str, value: object) -> None:
    rider = rider_from_text(TEXT.replace(old, new, 1), "x.toml")
    assert getattr(rider, name) == value


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("82 kg", "82", 1, "“82” has no unit. Write it like 82 kg"),
        ('"82 kg"', "82", 1, "82 has no unit. Write it like 82 kg"),
        ("82 kg", "820 kg", 1, "“820 kg” is not possible. A rider's mass is from 15 kg to 250 kg"),
        ("82 kg", "166 cm", 1, "“166 cm” is not a mass"),
        ("1.80 m", "29.5 in", 2, "“29.5 in” is not possible. A rider's stature is from 35 7/16 in"),
        ("1.80 m", "1.80", 2, "“1.80” has no unit"),
        ("intermediate", "pro", 3, "“pro” is not an experience. It can be beginner, intermediate"),
        ('"sea"', '"beer"', 4, 'Write "sea", "fresh"'),
        ('"sea"', "15", 4, "15 is not a water"),
        ('"sea"', '"fresh, -1 C"', 4, "Water of 0 g/kg is ice at -1 C. It is liquid above 0.0 C"),
        ('"sea"', '"sea, -2 C"', 4, "Water of 35 g/kg is ice at -2 C. It is liquid above -1.9 C"),
        ('"sea"', '"sea, 90 C"', 4, "90.0 is not possible. Degrees Celsius is from -3 to 40"),
        ('"sea"', "{ temperature = 15 }", 4, "“salinity” is missing"),
        ('"sea"', "{ temperature = 15, salinity = 60 }", 4, "60 is not possible. Salinity in g/kg is from 0"),
        ('"sea"', '"sea"\nlungs = "gills"', 5, "“gills” is not a state of the lungs. It can be full"),
        ('"sea"', '"sea"\nweight = 3', 5, "The key “weight” is unknown"),
        ('mass = "82 kg"\n', "", 1, "“mass” is missing. Add mass = "),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line_and_remedy(old: str, new: str, line: int, words: str) -> None:
    text = TEXT.replace(old, new, 1)
    assert text != TEXT
    with pytest.raises(InputError, match=rf"^x\.toml, line {line}, ") as caught:
        rider_from_text(text, "x.toml")
    (problem,) = caught.value.problems
    assert words in str(problem)


@pytest.mark.parametrize(("salinity", "celsius"), [(0.0, 0.0), (10.0, -0.538), (35.0, -1.912)])
def test_water_freezes_where_teos10_says(salinity: float, celsius: float) -> None:
    # Computed with gsw 3.6 t_freezing(SA, 0 dbar, saturated with air). The two formulas differ by what
    # practical salinity differs from absolute (0.5 % of 1.9 C).
    assert freezing_point(salinity) == pytest.approx(celsius, abs=0.011)


PLAIN = 'mass = "75 kg"\nstature = "1.78 m"\nexperience = "expert"\nwater = "sea, 14 C"\n'


@pytest.mark.parametrize(
    ("written", "group"),
    [("9", "child"), ("12", "child"), ("13", "teen"), ("18", "adult"), ("55", "senior"), ('"teen"', "teen")],
)
def test_age_in_years_or_words(written, group):
    assert rider_from_text(f"{PLAIN}age = {written}\n", "r.toml").age == group


@pytest.mark.parametrize(
    ("written", "suit"),
    [
        ("none", "none"),
        ("2 mm", "2 mm"),
        ("4/3 mm", "4/3"),
        ("6/5", "6/5"),
        ("6/5 mm hood, mitts, boots", "6/5"),
    ],
)
def test_suits_as_people_write_them(written, suit):
    assert rider_from_text(f'{PLAIN}suit = "{written}"\n', "r.toml").suit == suit


@pytest.mark.parametrize(
    ("degrees", "suit"), [(23, "none"), (22.9, "2 mm"), (16, "3/2"), (12, "4/3"), (11, "5/4 hood")]
)
def test_without_a_suit_the_water_decides(degrees, suit):
    assert rider_from_text(PLAIN.replace("14", str(degrees)), "r.toml").worn == suit


def test_impossible_ages_and_suits_are_told():
    with pytest.raises(InputError) as caught:
        rider_from_text(f'{PLAIN}age = 1\nsuit = "dry"\n', "r.toml")
    words = " ".join(str(problem) for problem in caught.value.problems)
    assert "1 years are not possible" in words
    assert "a suit" in words
