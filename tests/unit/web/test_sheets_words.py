"""What is told about a sheet, in every language: every wording with its places, and none besides."""

from __future__ import annotations

import ast
import inspect
import re
from functools import cache
from pathlib import Path

import pytest

import foamwright
from foamwright.bay.sheet import bay_from_text
from foamwright.blank.sheet import stock_from_text
from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.errors import InputError
from foamwright.findings import Said
from foamwright.shape.fair import Move, UnfairError
from foamwright.sheets.rider import rider_from_text
from foamwright.sheets.toml_words import reason_of
from foamwright.sheets.unfair import WANTED, Attempts
from foamwright.units import System, parse_length
from foamwright.web.catalogue import LANGUAGES, SAYINGS, said_in, sayings_in

ROOT = Path(foamwright.__file__).parent
TELLING = [
    *sorted(ROOT.glob("sheets/*.py")),
    *sorted(ROOT.glob("units/*.py")),
    *sorted(ROOT.glob("board/sheet*.py")),
    *sorted(ROOT.glob("blank/*.py")),
    *(ROOT / "board" / name for name in ("written.py", "tail_words.py", "outline.py", "board.py")),
    *(ROOT / "bay" / name for name in ("sheet.py", "written.py")),
    *(ROOT / name for name in ("findings.py", "shop/lists.py", "jobs/live_planning.py")),
]
"""Modules that tell what is wrong with a sheet of a board, a stock, the bay or a rider, or with a length."""

OURS = re.compile(r"(?:sheet|length|curve)\.[a-z]")
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


BOARD = (ROOT / "demo" / "groyne.board.toml").read_text()
OTHER_BOARD = (
    BOARD.replace('"square, rounded corners"', '"swallow"\ntail_depth = 4')
    .replace("[rocker]", '[rocker]\napex = "1 aft of centre"\n')
    .replace('layout = "three"', "")
    + """[[fins.box]]
name = "front"
at = "11 from tail"
offset = "4 1/2"
side = "both"
toe = 3
cant = 6
length = "4 1/2"
width = 1
depth = "1/2"
cover = "1/4"
"""
)
CORNERED_BOARD = "\n".join(
    line for line in BOARD.split("\n") if not re.match("tail_form|tail = 0", line)
).replace("[rocker]", 'tail_form = "squash"\ntail_corner = 1\n[rocker]')
BLANK = """
units = "in"
currency = "EUR"
[[blank]]
id = "Q"
foam = "eps 24 kg/m3"
section = "square"
length = "6'8\\""
width = 22
rocker = { nose = 5, "12 from nose" = 2.5, tail = 2 }
thickness = "2 3/4"
stringer = { wood = "basswood", width = "1/8" }
price = 78
on_hand = 3
hard_most = "1/4"
hard_face = "deck"
[[blank]]
id = "R"
foam = "pu 2.2 lb/ft3"
section = "domed"
length = "6'8\\""
outline = { nose = 6, wide = 22, wide_at = "2 forward of centre", tail = 11 }
rocker = { nose = 5, tail = 2 }
thickness = { nose = 2, centre = 3, tail = 2 }
dome = { nose = 0.5, tail = 0.6 }
stringer = "none"
price = 90
on_hand = 1
"""
BAY = """
name = "b"
units = "in"
rail_bands = 3
[tape]
fraction = 16
[[plane]]
name = "jack"
sole = 14
mouth = 4
width = 2
chips = ["1/32", "1/64"]
[[plane]]
name = "block"
sole = 6
mouth = 2
width = 1
chips = ["1/64"]
"""
RIDER = """
mass = "82 kg"
stature = "1.80 m"
experience = "expert"
water = { temperature = 12, salinity = 35 }
"""
SHEETS = {"board": (board_from_text, BOARD), "stock": (stock_from_text, BLANK), "bay": (bay_from_text, BAY)}
SHEETS["other board"] = board_from_text, OTHER_BOARD
SHEETS["cornered board"] = board_from_text, CORNERED_BOARD
SHEETS["rider"] = (rider_from_text, RIDER)

SPOILT = (
    *(
        '""',
        '"soon"',
        '"1,5 in"',
        '"6-2"',
        '"3/0"',
        '"2 5/4"',
        '"6\'14\\""',
        '"x\\u200by"',
        '"9999 m"',
        '"12"',
    ),
    *(
        '"-3 in"',
        "-1",
        "0",
        "7",
        "1e9",
        "1" + "0" * 70,
        "true",
        "[1, 2]",
        "{ a = 1 }",
        "[]",
        "1979-05-27",
        "1e",
    ),
    *('"' + "long " * 30 + '"', '"round, odd corners"', '"pin, sharp corners"', '"pin"', '"eps 900 kg/m3"'),
    *(
        '"foam 24 kg/m3"',
        '"99 from nose"',
        '"12 from centre"',
        '"-2 from tail"',
        '"fresh, -9 C"',
        '"concave"',
    ),
    *(
        '"Q"',
        '"R"',
        '"jack"',
        '"7 in"',
        "3.5",
        '"plane 24 kg/m3"',
        '"11/16"',
        '["1/64", "1/32"]',
        '"hard"',
        '"1/2"',
    ),
    *('"diamond"', '"swallow"', '"flat"', '"none"', '"domed"', '"13 st 15 lb"', '"nose"', "'x", "60", "nan"),
)


def spoilt(text):
    """A sheet with something else at each of its values, with each of its lines left out, or said twice."""
    lines = text.split("\n")
    for n, line in enumerate(lines):
        yield "\n".join([*lines[:n], *lines[n + 1 :]])
        yield "\n".join([*lines[:n], line, *lines[n:]])
        yield "\n".join([*lines[:n], "surprise = 1", '"77 from nose" = 3', *lines[n:]])
        for found in re.finditer(r", [a-z_]+ = [^,{}]+|[a-z_]+ = [^,{}]+, ", line):
            yield "\n".join([*lines[:n], line[: found.start()] + line[found.end() :], *lines[n + 1 :]])
        for m, found in enumerate(re.finditer(r"= *([^,{}=#]+?)(?= *(?:,|\}|$|#))", line)):
            # Every third of them: together they still meet every kind of value.
            for value in SPOILT[(n + m) % 3 :: 3]:
                changed = line[: found.start(1)] + value + line[found.end(1) :]
                yield "\n".join([*lines[:n], changed, *lines[n + 1 :]])
    yield from (
        "",
        "mass = 3",
        "[[blank]]\nid = 2",
        "blank = []\ncurrency = 'EUR'",
        "a.b.c.d.e.f.g.h.i.j.k.l.m = 1",
    )


ENGLISH = re.compile(
    r"\b(the|is|are|has|have|with|of|from|write|add|line|not|missing|no|and|or|it|that|this|like|check)\b"
)
TECHNICAL = re.compile(
    r"möglich sind: .*|„[^“]*“?|\"[^\"]*\"|'[^']*'|\[[^\]]*\]|\d+ from (?:nose|tail)|\w+ of centre"
)


def problems_of(read, text):
    try:
        read(text, "x.toml")
    except InputError as wrong:
        return wrong.problems
    return ()


AIMED = (
    ("rider", '"82 kg"', '"13 st 15 lb"'),
    ("rider", '"82 kg"', '"1 kg"'),
    ("rider", '"1.80 m"', '"3 m"'),
    ("rider", "temperature = 12", "temperature = -2.5"),
    ("rider", "{ temperature = 12, salinity = 35 }", '"mud"'),
    ("rider", "12, salinity = 35", "12"),
    ("bay", '["1/32", "1/64"]', '["1/64", "1/32"]'),
    ("bay", '["1/32", "1/64"]', "[]"),
    ("bay", '"block"', '"jack"'),
    ("bay", "fraction = 16", 'fraction = 12\nstandard_error = "9 in"'),
    ("cornered board", "tail_corner = 1", "tail_corner = 4"),
    ("cornered board", 'tail_form = "squash"', 'tail_form = "squash, long hair"'),
    ("board", 'layout = "three"', 'layout = "three"\nbox = 3'),
    ("other board", "[fins]", '[fins]\nlayout = "three"'),
    ("cornered board", 'tail_form = "squash"\ntail_corner = 1', ""),
    ("bay", '["1/32", "1/64"]', "{ a = 1 }"),
    ("board", "nose = 4.75", "nose = " + "1" * 5000),
    ("board", 'tail_form = "square, rounded corners"', ""),
    ("board", 'tail = "5 1/2" ', "#"),
    ("board", 'tail = "5 1/2" ', "tail = 0 #"),
    ("cornered board", "[rocker]", "tail = 0\n[rocker]"),
    (
        "board",
        '"5 1/2"                 # width of the block at the tip\ntail_form = "square, rounded corners"',
        "0",
    ),
    ("board", "nose = 4.75", 'nose = 4.75\n"12.0 from nose" = 2'),
    ("board", "nose = 4.75", 'nose = 4.75\n"80 from tail" = 2'),
    (
        "board",
        "nose = 4.75",
        "nose = 4.75\n" + "\n".join(f'"{n / 8} from tail" = 1' for n in range(100, 310)),
    ),
    ("board", "[bottom]", "[bottom]\nmiddle = 3"),
    ("board", "[rails]", "[[rails]]"),
    ("board", "[rocker]", "[rocker]\nname = 3"),
    ("stock", "width = 22", "width = 22\noutline = { nose = 6, tail = 11 }"),
    ("stock", 'id = "R"', 'id = "R"\ndome = 3'),
    ("stock", "width = 22", "width = 22\ndome = { nose = 0.5, tail = 0.6 }"),
    ("stock", "nose = 2, centre", "everywhere = 2, nose = 2, centre"),
    ("stock", 'stringer = "none"', 'stringer = { wood = "none", width = 1 }'),
    ("stock", "dome = { nose = 0.5, tail = 0.6 }", "dome = { nose = 0.5 }"),
)
"""What takes more than one value to go wrong: in which sheet, what, and what instead."""


@cache
def told_about(kind):
    """Everything that is told about all the spoilt sheets of a kind."""
    read, text = SHEETS[kind]
    aimed = [text.replace(old, new, 1) for name, old, new in AIMED if name == kind]
    assert text not in aimed
    texts = [*spoilt(text), *aimed]
    return list(dict.fromkeys(problem for one in texts for problem in problems_of(read, one)))


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
    known = {key for key in wordings() if not key.startswith(NEVER_MET)}
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
