"""The board's numbers as a form: each problem and finding beside its field, nothing typed ever cleared."""

from __future__ import annotations

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.demo import demo_path
from foamwright.units import System, parse_length
from foamwright.web.catalogue import catalogue_of
from foamwright.web.planning.draft import draft_of
from foamwright.web.rendering import Reader

GROYNE = demo_path("groyne.board.toml").read_text()
INCHES = Reader(catalogue_of("en"), System.INCH)
MILLIMETRES = Reader(catalogue_of("en"), System.MM)


def cell(draft, name):
    return next(cell for cell in draft.form.cells() if cell.name == name)


def test_fields_show_what_the_sheet_says_in_its_own_words():
    draft = draft_of(GROYNE, {}, INCHES, "")
    shown = {cell.name: cell.text for cell in draft.form.cells()}
    assert shown["length"] == "6'4\""
    assert shown["outline/12 from nose"] == "12 1/8"
    assert shown["rocker/nose"] == "4 3/4"
    assert shown["rocker/12 from nose"] == "1.9"
    assert shown["rails/tail/lower"] == "hard"
    assert [row.label for row in draft.form.rows] == [
        "tail tip", "12 in from tail", "centre", "12 in from nose", "nose tip",
    ]  # fmt: skip


def test_a_form_that_is_sent_back_untouched_changes_nothing():
    for reader in (INCHES, MILLIMETRES):
        first = draft_of(GROYNE, {}, reader, "")
        typed = {cell.name: cell.text for cell in first.form.cells()}
        again = draft_of(GROYNE, typed, reader, "")
        assert again.sheet == GROYNE
        assert not again.is_changed


def test_a_number_is_read_in_the_unit_it_is_shown_in():
    draft = draft_of(GROYNE, {"rocker/nose": "115", "length": "1900"}, MILLIMETRES, "")
    board = board_from_text(draft.sheet, "x")
    assert board.rocker[-1].value == pytest.approx(0.115, abs=1e-12)
    assert board.length == pytest.approx(1.9, abs=1e-12)


def test_an_empty_field_shows_what_the_fair_curve_has_there():
    draft = draft_of(GROYNE, {}, INCHES, "")
    fair = cell(draft, "thickness/centre").fair
    board = board_of(board_from_text(GROYNE, "x"))
    exact = float(board.thickness(board.length / 2))
    assert parse_length(f"{fair} in") == pytest.approx(exact, abs=0.0254 / 64 + 1e-9)
    assert cell(draft, "thickness/nose").fair == ""


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("outline/12 from nose", "11 1/x", "is not a length"),
        ("rocker/nose", "44", "is not possible"),
        ("length", "6 ft 14", "inches after the feet"),
        ("rails/centre/lower", "round", "is not a number"),
        ("outline/wide_at", "near the middle", "is not a station"),
        ("thickness/nose", "", "missing"),
        ("outline/12 from nose", "25", "more than “wide”"),
    ],
)
def test_a_problem_stands_beside_its_field_and_the_text_stays(name, text, said):
    draft = draft_of(GROYNE, {name: text}, INCHES, "")
    assert draft.checked is None
    field = cell(draft, name)
    assert field.text == text
    told = [p for c in draft.form.cells() for p in c.problems] + list(draft.form.problems)
    assert said in " ".join(f"{p.what} {p.remedy}" for p in told)
    assert draft.form.problems == ()


def test_an_unfair_number_is_told_at_its_station_with_the_remedy():
    draft = draft_of(GROYNE, {"thickness/12 from nose": "2 7/16", "thickness/nose": "2 3/8"}, INCHES, "")
    if draft.checked is None:
        assert any(c.problems for c in draft.form.cells())
    draft = draft_of(GROYNE, {"rocker/12 from nose": "4 1/2"}, INCHES, "")
    assert draft.checked is None
    assert "fair" in cell(draft, "rocker/12 from nose").problems[0].what
    assert cell(draft, "rocker/12 from nose").text == "4 1/2"


def test_a_finding_stands_beside_the_number_that_causes_it():
    draft = draft_of(GROYNE, {"rocker/nose": "8"}, INCHES, "")
    assert "rocker-excess" in [finding.code for finding in cell(draft, "rocker/nose").findings]


def test_a_station_that_is_added_gets_a_row():
    draft = draft_of(GROYNE, {"outline/18 from tail": ""}, INCHES, "")
    assert "18 in from tail" in [row.label for row in draft.form.rows]
    assert draft.sheet == GROYNE
