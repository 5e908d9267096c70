"""Whatever is wrong with a sheet, a length or a curve is told in the reader's language."""

from __future__ import annotations

import re

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.errors import InputError
from foamwright.findings import Said
from foamwright.shape.fair import Move, UnfairError
from foamwright.sheets.unfair import WANTED, Attempts
from foamwright.shop.lists import ListForm, read_list
from foamwright.units import System, Unit, parse_length
from foamwright.web.catalogue import catalogue_of, said_in, sayings_in
from foamwright.web.rendering import Reader
from tests.spoilt_sheets import BOARD, SHEETS, problems_of, told_about

PLACE = re.compile(r"\{(\w+)\}")
ENGLISH = re.compile(
    r"\b(the|is|are|has|have|with|of|from|write|add|line|not|missing|no|and|or|it|that|this|like|check)\b"
)
TECHNICAL = re.compile(
    r"möglich sind: .*|„[^“]*“?|\"[^\"]*\"|'[^']*'|\[[^\]]*\]|\d+ from (?:nose|tail)|\w+ of centre"
)


@pytest.mark.parametrize("kind", SHEETS)
def test_a_sheet_that_is_right_has_nothing_told(kind):
    assert problems_of(*SHEETS[kind]) == ()


@pytest.mark.parametrize("kind", SHEETS)
def test_whatever_is_wrong_with_a_sheet_is_told_in_german(kind):
    assert len(told_about(kind)) > 100
    for problem in told_about(kind):
        for part in (problem.what, problem.remedy):
            assert isinstance(part, Said), part
            assert part.key != "sheet.reason", part
            german = said_in("de", part)
            assert german != part
            assert not ENGLISH.search(TECHNICAL.sub("", german.casefold())), german
        assert isinstance(problem.where, Said) or problem.where == "x.toml", problem.where
        assert " line " not in said_in("de", problem.where)


def keys_of(text):
    """The keys of a text and of all texts within it."""
    if isinstance(text, Said):
        yield text.key
        for value in text.values.values():
            yield from keys_of(value)


NEVER_MET = (
    *(
        "sheet.file.",
        "sheet.toml.",
        "curve.",
        "sheet.kind.",
        "sheet.row",
        "sheet.many-stations",
    ),  # their own tests
    *("sheet.of.", "sheet.key."),  # names of values, all made in one place
    *("sheet.reason", "sheet.cannot-stand", "sheet.take-away"),  # what pydantic might find of its own
)
"""Wordings that need not be met here."""


def test_spoilt_sheets_reach_nearly_all_wordings():
    """The test above is worth as much as what it meets."""
    told = [problem for kind in SHEETS for problem in told_about(kind)]
    parts = [part for problem in told for part in (problem.where, problem.what, problem.remedy)]
    met = {key for part in parts for key in keys_of(part)}
    known = {key for key in sayings_in("sheets", "de") if not key.startswith(NEVER_MET)}
    assert len(known & met) > 0.97 * len(known), sorted(known - met)


def test_numbers_that_no_fair_curve_meets_are_told_in_german():
    with pytest.raises(InputError) as wrong:
        board_of(board_from_text(BOARD.replace("0.85", "2.1"), "x.toml"), System.MM)
    told = wrong.value.problems[0]
    assert told.where == "Groyne, [rocker] 12 from tail"
    assert re.fullmatch(
        r"ist [\d.]+ mm, aber dadurch geht keine strakende Aufbiegung \(.*\)\.", said_in("de", told.what)
    )
    assert re.fullmatch(
        r"Die nächste strakende Kurve braucht [\d.]+ mm weniger, also [\d.]+ mm\.", said_in("de", told.remedy)
    )


@pytest.mark.parametrize("table", WANTED)
@pytest.mark.parametrize("fair", [0.02, 0.08])
def test_every_curve_is_told_in_german(table, fair):
    def unfair():
        raise UnfairError(None, (Move("nose", 0.0, 0.05, fair),))

    attempts = Attempts("x", System.MM)
    assert attempts.make(table, unfair) is None
    (told,) = attempts.problems
    for part in (told.what, told.remedy):
        assert not ENGLISH.search(said_in("de", part).casefold())
        assert not PLACE.search(said_in("de", part))


def test_lengths_are_told_in_german_with_german_quotes():
    with pytest.raises(InputError) as wrong:
        parse_length("soon")
    assert said_in("de", wrong.value.problems[0].what) == "„soon“ ist keine Länge."
    assert wrong.value.problems[0].what == "“soon” is not a length."


def test_many_bare_numbers_are_told_as_one_in_german():
    (told,) = problems_of(board_from_text, BOARD.replace('units = "in"\n', ""))
    assert re.fullmatch(
        r".* hat keine Einheit\. Dasselbe gilt für \d+ weitere in diesem Blatt\.", said_in("de", told.what)
    )
    assert said_in("de", told.where).startswith("x.toml, Zeile ")


def test_a_suppliers_list_is_told_in_german_down_to_the_words_within():
    data = b"id,foam,section,length,width,rocker nose,rocker tail,thickness,price\n"
    data += b"A,eps,square,6'8\",22,5,soon,2.75,70\n"
    told = [one for row in read_list("x.csv", data, ListForm(Unit.INCH, "EUR")).bad for one in row.problems]
    german = [Reader(catalogue_of("de"), System.INCH).problem(problem) for problem in told]
    assert [problem.where for problem in german] == ["x.csv, Zeile 2, foam", "x.csv, Zeile 2, rocker tail"]
    assert [problem.what for problem in german] == [
        "„eps“ ist kein Schaum mit seiner Dichte.",
        "„soon“ ist keine Länge.",
    ]
    assert [problem.what for problem in told] == [
        "“eps” is not a foam and its density.",
        "“soon” is not a length.",
    ]
