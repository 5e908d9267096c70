"""On which line every key stands."""

import tomllib

import pytest

from foamwright.sheets.locate import lines_of_keys

EVERY_FORM = '''# a note with = and [brackets]
name = "a # b = c"
'quoted key' = 'it''s'

[outline]  # note
"12 from nose" = 1
site."a.b".c = """
not_a_key = 1
[not a table]
\\""" still inside
"""
path = \'\'\'
x = 1\'\'\'
rails = { nose = { apex = 0.5, "lo wer" = 2 }, tail = {} }
days = 2020-01-01 00:00:00
list = [ 1, # one ]
  "two, ]", { deep = [
    { deeper = 1 } ] },
]

[[blank]]
id = "first"
[blank.outline]
nose = 6
[[blank]]
[[blank.cut]]
at = 1
[[blank.cut]]
at = 2
[ blank . "dome" ]
nose = 0.5
'''


def test_the_sample_is_sound() -> None:
    # '' ends and opens nothing in TOML; the sample must be one that tomllib reads.
    assert tomllib.loads(EVERY_FORM.replace("'it''s'", "'its'"))["name"] == "a # b = c"


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2),
        (("quoted key",), 3),
        (("outline",), 5),
        (("outline", "12 from nose"), 6),
        (("outline", "site"), 7),
        (("outline", "site", "a.b"), 7),
        (("outline", "site", "a.b", "c"), 7),
        (("outline", "path"), 12),
        (("outline", "rails", "nose", "apex"), 14),
        (("outline", "rails", "nose", "lo wer"), 14),
        (("outline", "rails", "tail"), 14),
        (("outline", "days"), 15),
        (("outline", "list", 0), 16),
        (("outline", "list", 1), 17),
        (("outline", "list", 2, "deep", 0, "deeper"), 18),
        (("blank",), 21),
        (("blank", 0, "id"), 22),
        (("blank", 0, "outline", "nose"), 24),
        (("blank", 1), 25),
        (("blank", 1, "cut", 0, "at"), 27),
        (("blank", 1, "cut", 1, "at"), 29),
        (("blank", 1, "dome", "nose"), 31),
    ],
)
def test_every_form_of_key(path: tuple[str | int, ...], line: int) -> None:
    assert lines_of_keys(EVERY_FORM.replace("'it''s'", "'its'"))[path] == line


def test_nothing_else_is_taken_for_a_key() -> None:
    found = lines_of_keys(EVERY_FORM.replace("'it''s'", "'its'"))
    assert not any("not_a_key" in path or "x" in path for path in found)


def test_windows_line_ends_count_once() -> None:
    assert lines_of_keys("a = 1\r\nb = 2\r\n\r\nc = 3\r\n")[("c",)] == 4


def test_an_empty_text_has_no_keys() -> None:
    assert lines_of_keys("") == {}
