"""Numbers are changed where they stand: notes, order and spacing of a sheet stay the person's."""

from __future__ import annotations

import difflib
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.board.sheet import board_from_text
from foamwright.demo import demo_path
from foamwright.web.planning.sheet_text import (
    changed_text,
    read,
    value_at,
    with_entry,
    without_entry,
    written_anew,
)

GROYNE = demo_path("groyne.board.toml").read_text()


def lines_changed(before, after):
    return [line for line in difflib.ndiff(before.split("\n"), after.split("\n")) if line[0] in "+-"]


def test_only_the_line_of_a_number_changes():
    after = changed_text(GROYNE, {("outline", "tail"): "5 3/4"})
    assert lines_changed(GROYNE, after) == [
        '- tail = "5 1/2"                 # width of the block at the tip',
        '+ tail = "5 3/4"                 # width of the block at the tip',
    ]


def test_the_same_key_of_another_table_is_left_alone():
    after = tomllib.loads(changed_text(GROYNE, {("rocker", "nose"): "4.5", ("thickness", "nose"): "5/8"}))
    assert (after["outline"]["nose"], after["rocker"]["nose"], after["thickness"]["nose"]) == (0, 4.5, "5/8")


def test_a_value_inside_braces_changes_alone():
    after = changed_text(GROYNE, {("rails", "tail", "apex"): "0.1", ("rails", "centre", "tuck"): ""})
    assert lines_changed(GROYNE, after) == [
        '- centre = { apex = "60/40", tuck = "3/8" }',
        '+ centre = { apex = "60/40" }',
        '- tail = { apex = 0.05, tuck = 0, edge = "hard" }',
        '+ tail = { apex = 0.1, tuck = 0, edge = "hard" }',
    ]


def test_an_entry_is_added_changed_and_taken_away_where_it_stands():
    more = with_entry(GROYNE, ("bottom", "contour"), {"shape": "roll", "depth": "1/8"})
    assert more.startswith(GROYNE.rstrip("\n"))
    changes = {("bottom", "contour", 2, "depth"): "3/16", ("bottom", "contour", 0, "full", 1): "10 from tail"}
    after = changed_text(more, changes)
    assert lines_changed(more, after) == [
        '- full = ["centre", "12 from tail"]',
        '+ full = ["centre", "10 from tail"]',
        '- depth = "1/8"',
        '+ depth = "3/16"',
    ]
    assert without_entry(more, ("bottom", "contour", 2)).rstrip("\n") == GROYNE.rstrip("\n")
    assert tomllib.loads(without_entry(GROYNE, ("bottom", "contour", 1)))["bottom"]["contour"] == [
        tomllib.loads(GROYNE)["bottom"]["contour"][0]
    ]


def test_a_station_is_added_at_the_end_of_its_table_and_taken_away():
    after = changed_text(GROYNE, {("thickness", "centre"): "2 7/16"})
    assert lines_changed(GROYNE, after) == ['+ centre = "2 7/16"']
    assert board_from_text(after, "x").thickness[2].place == "centre"
    assert changed_text(after, {("thickness", "centre"): ""}) == GROYNE


def test_a_rail_at_a_new_station_is_put_together_from_its_parts():
    parts = {("rails", "24 from nose", part): text for part, text in
             (("apex", "0.45"), ("lower", "2.2"), ("upper", "2.1"))}  # fmt: skip
    assert tomllib.loads(changed_text(GROYNE, parts))["rails"]["24 from nose"] == {
        "apex": 0.45, "lower": 2.2, "upper": 2.1,
    }  # fmt: skip


@pytest.mark.parametrize(
    "sheet",
    [
        "length=1\n[rails]\nnose.apex = 0.5\nnose.lower = 2\n",
        "length=1\n[rails.nose]\napex = 0.5\nlower = 2\n",
        "length=1\nrails = { nose = { apex = 0.5, lower = 2 } }\n",
        'length=1\n[rails]\nnose = { apex = 0.5, lower = 2, note = "lower = 7" }\n',
        "length=1\nrails.nose.apex = 0.5\nrails.nose.lower = 2",
    ],
)
def test_a_sheet_of_any_layout_ends_with_the_right_number(sheet):
    wanted = tomllib.loads(sheet)
    wanted["rails"]["nose"]["lower"] = 3
    assert tomllib.loads(changed_text(sheet, {("rails", "nose", "lower"): "3"})) == wanted


def test_what_is_written_is_never_read_as_toml():
    text = 'x"\n[evil]\na = 1 # \\'
    after = tomllib.loads(changed_text(GROYNE, {("name",): text}))
    assert after["name"] == text.strip()
    assert "evil" not in after


paths = st.sampled_from(
    [("length",), ("outline", "wide"), ("outline", "12 from nose"), ("rocker", "tail"), ("rocker", "apex"),
     ("thickness", "6 from tail"), ("rails", "centre", "upper"), ("bottom", "tail", "depth"),
     ("rails", "6 from nose", "apex"), ("name",)]
)  # fmt: skip
texts = st.one_of(
    st.text(max_size=12), st.sampled_from(["", "4.75", "2 3/4", "6'2\"", "70 mm", "-1", "hard"])
)


@given(st.dictionaries(paths, texts, max_size=6))
@settings(max_examples=120, deadline=None, derandomize=True)
def test_the_tree_is_always_the_one_that_was_asked_for(changes):
    after = tomllib.loads(changed_text(GROYNE, changes))
    for path, text in changes.items():
        assert value_at(after, path) == (read(text) if text.strip() else None)


def test_a_tree_written_anew_reads_back():
    tree = tomllib.loads(GROYNE)
    assert tomllib.loads(written_anew(tree)) == tree
