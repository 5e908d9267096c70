"""What is told about a sheet, in every language: every wording with its places, and none besides."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path

import pytest

import foamwright
from foamwright.findings import Said
from foamwright.sheets.toml_words import reason_of
from foamwright.web.catalogue import LANGUAGES, SAYINGS, sayings_in

ROOT = Path(foamwright.__file__).parent
TELLING = [
    *sorted(ROOT.glob("sheets/*.py")),
    *sorted(ROOT.glob("units/*.py")),
    *sorted(ROOT.glob("board/sheet*.py")),
    *sorted(ROOT.glob("blank/*.py")),
    *(ROOT / "board" / name for name in ("written.py", "written_sections.py", "tail_words.py", "outline.py")),
    *(ROOT / "board" / name for name in ("board.py", "foil.py", "impossible.py", "old_form.py")),
    *(ROOT / "board" / name for name in ("reading_contours.py", "checks_written_tips.py")),
    *(ROOT / "bay" / name for name in ("sheet.py", "written.py")),
    *(ROOT / name for name in ("findings.py", "shop/lists.py", "jobs/live_planning.py")),
]
"""Modules that tell what is wrong with a sheet of a board, a stock, the bay or a rider, or with a length."""

OURS = re.compile(r"(?:sheet|length|curve|rails)\.[a-z]")
PLACE = re.compile(r"\{(\w+)\}")
PROSE = re.compile(r"[A-Za-z]{2,}[,:;]? [a-z]{2,}|[a-z]{3,}\.$")

NOT_TOLD = {
    "FaultError",  # foamwright's own fault, not the sheet's
    "ValueError",  # the caller's, not the sheet's
    "compile",  # patterns
    "parse_length",  # limits, in the words of a sheet
}
"""Calls whose texts nobody reads on a page."""

AS_WRITTEN = {
    "rail to rail",
    *("rounded pin", "sharp corners", "rounded corners", "round pin", "round corners", "soft corners"),
    *("rounded square", "from tail", "from nose", "forward of centre", "aft of centre", "12 from nose"),
    *(" from nose", " from tail", " of centre", "12 from tail", "forward of", "harbour bay", " tail"),
    *("(at end of document)", "wide at"),
}
"""Words of the sheets themselves, and examples of them."""


def is_text(node):
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def name_of(call):
    return getattr(call.func, "id", getattr(call.func, "attr", ""))


def pairs_in(tree):
    """Every key with its wording: handed to `said`, or kept as a pair that is."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and name_of(node) == "said":
            pair = node.args
            assert isinstance(pair[0], ast.Starred | ast.Name) or all(map(is_text, pair[:2])), node.lineno
        elif isinstance(node, ast.Tuple) and len(node.elts) == 2:
            pair = node.elts
        else:
            continue
        if len(pair) == 2 and all(map(is_text, pair)) and OURS.match(pair[0].value):
            yield pair[0].value, pair[1].value


def wordings():
    found = {}
    for module in TELLING:
        for key, wording in pairs_in(ast.parse(module.read_text())):
            assert found.setdefault(key, wording) == wording, f"two wordings of {key}"
    return found


def docstrings(tree):
    """Texts that stand alone as statements."""
    return {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and is_text(node.value)}


def never_told(node):
    """Whether nobody is told the texts in here: patterns, examples, keys that a sheet may leave away."""
    if not isinstance(node, ast.Call):
        return (
            isinstance(node, ast.Tuple)
            and node.elts
            and is_text(node.elts[0])
            and OURS.match(node.elts[0].value)
        )
    may_be_left_out = name_of(node) == "Field" and (node.args or "init" in {one.arg for one in node.keywords})
    return name_of(node) in NOT_TOLD or may_be_left_out


def loose_prose(tree):
    """Texts in words that no `said` knows, with their lines."""
    passed = docstrings(tree)
    stack = [tree]
    while stack:
        node = stack.pop()
        if never_told(node) or id(node) in passed:
            continue
        if isinstance(node, ast.Call) and name_of(node) == "_kind":
            # What follows the words for a kind of sheet are the keys of such a sheet.
            stack.append(node.args[0])
            continue
        if isinstance(node, ast.Call) and name_of(node) == "said":
            stack += [one.value for one in node.keywords]
            continue
        if is_text(node) and PROSE.search(node.value) and node.value not in AS_WRITTEN:
            yield node.lineno, node.value
        stack += [one for one in ast.iter_child_nodes(node) if getattr(one, "arg", "") != "examples"]


@pytest.mark.parametrize("module", TELLING, ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_is_told_past_said(module):
    """A text that is no `said`, wherever it is made, cannot be said in another language."""
    assert list(loose_prose(ast.parse(module.read_text()))) == []


@pytest.mark.parametrize(
    "code",
    [
        'note(path, f"{quoted(x)} is not a thing.", "Check it.")',
        'what = "There is nothing here."',
        'problem(said("sheet.a", "It is.", x=f"more than {y} of it"), remedy)',
        'Field(description="name of the board")',
        'x = length("the length of a board", "4 ft", "5 ft")',
    ],
)
def test_what_is_put_together_by_hand_is_seen(code):
    assert list(loose_prose(ast.parse(code)))


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_wording_is_there_and_none_besides(language):
    assert set(sayings_in("sheets", language)) ^ set(wordings()) == set()


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_wordings_fill_the_same_places(language):
    english = wordings()
    for key, words in sayings_in("sheets", language).items():
        assert set(PLACE.findall(words)) == set(PLACE.findall(english[key])), key


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_no_key_is_in_two_files(language):
    keys = [key for name in SAYINGS for key in sayings_in(name, language)]
    assert len(keys) == len(set(keys))


def test_no_wording_was_left_in_english():
    german = sayings_in("sheets", "de")
    same = {key for key, words in wordings().items() if german[key] == words}
    assert {key for key in same if re.search(r"[a-z]", PLACE.sub("", german[key]))} == set()


def toml_messages():
    """The messages of tomllib, as its source has them; what it fills in stands as a name."""
    import tomllib._parser as parser

    for node in ast.walk(ast.parse(inspect.getsource(parser))):
        if isinstance(node, ast.Call) and name_of(node) == "suffixed_err":
            text = node.args[2]
            parts = text.values if isinstance(text, ast.JoinedStr) else [text]
            yield "".join(part.value if is_text(part) else "'x'" for part in parts)


def test_every_message_of_tomllib_is_known():
    messages = list(toml_messages())
    assert len(messages) > 20
    for message in messages:
        assert isinstance(reason_of(message), Said), message
        assert reason_of(message) == message


def test_a_message_that_is_not_known_is_told_as_it_is():
    assert reason_of("Something quite new") == "Something quite new"
