"""A survey as JSON: an outsider can prove every number again from it."""

import json
from dataclasses import replace

import numpy as np
import pytest

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.lay.alternatives import alternatives_to
from foamwright.lay.choice import TIP
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.report import pick_json, why_lines
from foamwright.lay.survey import survey
from foamwright.lay.words import Words
from foamwright.stations import Mark
from foamwright.units import System

BAY = Bay()
BOARD = cases.plain_board()
PROFILE = profile_of_board(BOARD)


def surveyed(*blanks):
    return survey(PROFILE, Rack(tuple(profile_of_blank(b) for b in blanks)), BAY)


@pytest.fixture(scope="module")
def found():
    rng = np.random.default_rng(5)
    return surveyed(*(cases.random_blank(rng, BOARD, f"B{n}") for n in range(30)))


@pytest.fixture(scope="module")
def document(found):
    return json.loads(json.dumps(pick_json(found), allow_nan=False))


def test_fixed_keys_are_there_for_every_blank(document):
    keys = {"blank", "fits", "work_min", "lay", "foam_off_l", "price", "why"}
    keys |= {"bottom_off", "deck_off", "rates"}
    assert len(document["choices"]) == 30
    for choice in document["choices"]:
        assert keys <= set(choice)
        assert bool(choice["why"]) or choice["fits"]
        assert (choice["lay"] is None) != choice["fits"]


def test_work_is_the_trapezoid_of_what_is_written(document):
    for choice in document["choices"]:
        if choice["fits"]:
            rates, bottom, deck = choice["rates"], choice["bottom_off"], choice["deck_off"]
            assert rates["x_m"] == bottom["x_m"] == deck["x_m"]
            per_metre = np.multiply(rates["bottom"], bottom["depth_m"])
            per_metre = per_metre + np.multiply(rates["deck"], deck["depth_m"])
            minutes = np.trapezoid(per_metre, rates["x_m"]) + sum(choice["apart_min"].values())
            assert minutes == pytest.approx(choice["work_min"], abs=1e-9)


def test_lay_is_the_best_by_the_written_limits(document):
    checked = 0
    for choice in document["choices"]:
        if not choice["fits"]:
            continue
        x, lower, upper = (np.array(choice["limits"][k]) for k in ("x_m", "lower_m", "upper_m"))
        toward = np.array([choice["toward"]["lift"], choice["toward"]["tilt"]])
        lay = choice["lay"]
        best = cases.highs_line(x, lower, upper, toward)
        ours = toward @ [lay["lift_m"], lay["tilt_rad"]] / np.abs(toward).max()
        assert ours == pytest.approx(1e-3 * best.fun, abs=1e-9)
        line = lay["lift_m"] + lay["tilt_rad"] * x
        assert np.all(line >= lower - 1e-9)
        assert np.all(line <= upper + 1e-9)
        checked += 1
    assert checked > 5


def test_parts_add_up(found):
    for choice in found.choices:
        if choice.fits:
            assert choice.parts.total == pytest.approx(choice.work_min, abs=1e-9)
            apart = choice.parts.rails + choice.parts.steady
            assert sum(choice.by_doing.values()) + apart == pytest.approx(choice.work_min, abs=1e-9)
            nose = choice.board.x > choice.board.length - TIP
            minutes = (choice.board.weight * choice.rates.deck * choice.deck_off)[nose].sum()
            assert choice.parts.nose[1] == pytest.approx(minutes, abs=1e-12)


def test_foam_off_of_a_slab_is_its_volume():
    # Everything between a square blank and the sawn, planed board, less the rails: computed on a fine grid.
    choice = surveyed(cases.plain_blank()).best
    x = np.linspace(0, BOARD.length, 20001)
    width = 2 * (BOARD.half_width(x) + BAY.allowances.saw)
    blank = cases.plain_blank()
    thickness = blank.deck(x + choice.placed.slide) - blank.bottom(x + choice.placed.slide)
    litres = 1e3 * np.trapezoid(width * (thickness - BOARD.deck_line(x) + BOARD.pre_contour(x)), x)
    assert choice.foam_off.bottom + choice.foam_off.deck == pytest.approx(litres, rel=2e-4)


def test_saw_takes_what_is_outside_the_outline():
    choice = surveyed(cases.plain_blank()).best
    blank, saw = cases.plain_blank(), BAY.allowances.saw
    x = np.linspace(0, blank.length, 20001)
    board_x = x - choice.placed.slide
    inside = (board_x >= 0) & (board_x <= BOARD.length)
    kept = np.where(inside, BOARD.half_width(np.clip(board_x, 0, BOARD.length)) + saw, 0.0)
    litres = 1e3 * np.trapezoid(2 * (blank.half_width(x) - kept) * (blank.deck(x) - blank.bottom(x)), x)
    assert choice.foam_off.saw == pytest.approx(litres, rel=5e-3)


def test_curve_says_none_where_nothing_fits(document):
    curves = [c["curve"] for c in document["choices"]]
    assert any(None in c["work_min"] for c in curves)
    for curve in curves:
        assert [w is not None for w in curve["work_min"]] == curve["fits"]


def test_reasons_are_lines():
    (choice,) = surveyed(cases.plain_blank(longer=-0.1)).choices
    (line,) = why_lines(choice, System.MM)
    assert line.startswith("Too short by 112.7 mm for the board")


def test_alternatives_differ_in_thickness_only():
    def of_thickness(thick, name, **changes):
        marks = (Mark(0.0, thick, "tail"), Mark(2.0, thick, "nose"))
        blank = cases.plain_blank(thickness=marks, **changes)
        numbers = replace(blank.numbers, id=name)
        return replace(blank, numbers=numbers, thick=thick)

    found = surveyed(
        of_thickness(2.5 * cases.INCH, "thin"),
        of_thickness(2.75 * cases.INCH, "right"),
        of_thickness(3.0 * cases.INCH, "thick", price=85.0),
        of_thickness(3.0 * cases.INCH, "other", skim_deck=0.0, rocker=()),
    )
    thin, thick = alternatives_to(found.of("right"), found)
    assert (thin.choice.id, thick.choice.id) == ("thin", "thick")
    assert thick.thicker == pytest.approx(0.25 * cases.INCH)
    assert thick.work_min > 0
    assert thick.cost == pytest.approx(5.0 + thick.work_min / 60 * 40)
    assert thin.sentence(Words()) == "thin, 1/4 in thinner, does not take the board."
    assert thick.sentence(Words()).startswith("thick, 1/4 in thicker: ")
