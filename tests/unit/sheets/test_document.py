"""Documents: places in words, and texts that are no TOML."""

from pathlib import Path

import pytest

from foamwright.errors import InputError
from foamwright.sheets.document import parse_document, read_document

TEXT = """\
length = 2
[rocker]
nose = 1
"12 from nose" = 2
[[blank]]
rocker = { nose = 1 }
[[fins.box]]
at = "x"
"""


@pytest.mark.parametrize(
    ("path", "where"),
    [
        (("length",), "a.toml, line 1, length"),
        (("rocker",), "a.toml, line 2, [rocker]"),
        (("rocker", "nose"), "a.toml, line 3, [rocker] nose"),
        (("rocker", "12 from nose"), 'a.toml, line 4, [rocker] "12 from nose"'),
        (("rocker", "tail"), "a.toml, line 2, [rocker] tail"),
        (("blank", 0), "a.toml, line 5, [blank 1]"),
        (("blank", 0, "rocker", "nose"), "a.toml, line 6, [blank 1, rocker] nose"),
        (("fins", "box", 0, "at"), "a.toml, line 8, [fins, box 1] at"),
        (("outline",), "a.toml, line 1, outline"),
        ((), "a.toml, line 1"),
    ],
)
def test_places_in_words(path: tuple[str | int, ...], where: str) -> None:
    assert parse_document(TEXT, "a.toml").where(path) == where


def test_a_file_is_named_without_its_folder(tmp_path: Path) -> None:
    file = tmp_path / "b.toml"
    file.write_text("a = 1", encoding="utf-8")
    assert read_document(file).where(("a",)) == "b.toml, line 1, a"


@pytest.mark.parametrize(
    ("text", "where", "words"),
    [
        ("a = 1\nlength = 6'4\"\n", "x, line 2, column 11", "Feet, fractions and units stand in quotes"),
        ("nose = 2 1/8", "x, line 1, column 10", "Feet, fractions and units stand in quotes"),
        ("12 from nose = 1", "x, line 1, column 4", "more than one word stands in quotes"),
        ("a = 1\na = 2", "x, line 2, column 6", "stands twice"),
        ("[a]\n[a]", "x, line 2, column 3", "stands twice"),
        ("a = ", "x, line 1, column 5", "left open"),
        ("b = 2\na = [1,", "x, line 2", "left open"),
        ('a = "open', "x, line 1", "left open"),
        ("a", "x, line 1", "without its value"),
        ("nose = 70 mm", "x, line 1, column 11", "units stand in quotes"),
        ("nose = 2¾", "x, line 1, column 9", "units stand in quotes"),
        ("a = 1 b = 2", "x, line 1, column 7", "A line is key = value"),
        ("?", "x, line 1, column 1", "A line is key = value"),
        ("a = 2020-13-01", "x, line 1", "This is not TOML"),
        ("a = 1\rb = 2", "x, line 1", "This is not TOML"),
        (f"a = {'9' * 5000}", "x", "thousands of digits"),
        (f"a = {'[' * 5000}{']' * 5000}", "x", "nested too deep"),
        (f"a = {'[' * 50}{']' * 50}", "x", "nested too deep"),
        (f"{'a.' * 50}a = 1", "x", "nested too deep"),
    ],
)
def test_what_is_no_toml_names_line_and_column(text: str, where: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        parse_document(text, "x")
    assert caught.value.problems[0].where.startswith(where)


def test_the_line_that_cannot_be_read_is_shown() -> None:
    with pytest.raises(InputError, match="“length = 6'4\"”"):
        parse_document("length = 6'4\"", "x")
