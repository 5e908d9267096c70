from itertools import pairwise

import pytest

from foamwright.papers.fonts import plain_width
from foamwright.papers.fonts_setting import line_width, set_line
from foamwright.papers.style import Face


def shown(words):
    return [run.words for run in set_line(words, Face.FIGURES, 3.5).runs]


@pytest.mark.parametrize(
    ("words", "runs"),
    [
        ("2 3/4 in", ["2", "3", "4", " in"]),
        ("2-3/4", ["2", "3", "4"]),
        ("15/16", ["15", "16"]),
        ("6'2 1/4\"", ["6′2", "1", "4", "″"]),
        ("6'2\"", ["6′2″"]),
        ("half 9 1/16, full 18 1/8", ["half 9", "1", "16", ", full 18", "1", "8"]),
    ],
)
def test_lengths_are_set_with_real_fractions_and_primes(words, runs):
    assert shown(words) == runs


@pytest.mark.parametrize("words", ["2026/11/25", "1/3", "3/4/8", "1.5/8", "and/or", "page 1-3", "12 mm"])
def test_what_is_no_fraction_of_an_inch_stays_as_written(words):
    assert shown(words) == [words]
    assert not set_line(words, Face.FIGURES, 3.5).has_fraction


def test_a_fraction_is_stacked_about_its_bar():
    top, bottom = set_line("3/4", Face.FIGURES, 10.0).runs
    (bar,) = set_line("3/4", Face.FIGURES, 10.0).bars
    assert bottom.y + 6.8 < bar.y - bar.thickness / 2 < bar.y + bar.thickness / 2 < top.y
    assert top.x + top.width / 2 == pytest.approx(bottom.x + bottom.width / 2)


def test_runs_follow_one_another_without_overlap():
    runs = set_line("rocker 2 3/4 in, Łódź", Face.FIGURES, 3.5).runs
    plain = [run for run in runs if run.y == 0.0]
    assert all(a.x + a.width <= b.x + 1e-9 for a, b in pairwise(plain))


def test_plain_words_are_as_wide_as_their_letters():
    assert line_width("Rocker", Face.TITLE, 5.0) == pytest.approx(plain_width("Rocker", Face.TITLE, 5.0))
