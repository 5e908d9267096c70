"""What findings say, in every language: every wording of the rules with its places, and none besides."""

from __future__ import annotations

import ast
import copy
import pickle
import re
from dataclasses import replace
from pathlib import Path

import pytest

import foamwright
from foamwright.bench.question_words import QUESTIONS
from foamwright.board.board import board_of
from foamwright.board.checks import check_board
from foamwright.findings import Said, said, said_before
from foamwright.units import System
from foamwright.web.catalogue import LANGUAGES, said_in, sayings_in
from tests.boards import GROYNE, marks

ROOT = Path(foamwright.__file__).parent
SHOWN = [
    *(path for path in sorted(ROOT.glob("board/check*.py")) if "written" not in path.name),
    *(ROOT / name for name in ("lay/reasons.py", "lay/words.py", "cuts/run_findings.py", "cuts/grain.py")),
    *(ROOT / name for name in ("finish/finished.py", "finish/box_overlaps.py")),
    *(ROOT / name for name in ("bench/question_words.py", "bench/questions.py", "jobs/shop_readings.py")),
]
"""Modules whose findings, and reasons to question a reading, the pages show."""

NOT_ON_PAGES = {"finish-no-fins", "finish-core-shear", "finish-resin-foam"}
"""Told by the command `finish` alone."""

PLACE = re.compile(r"\{(\w+)\}")


def texts_of(nodes):
    return [node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)]


def pairs_in(tree):
    """Every key with its wording: first arguments of `said`, and pairs that are handed to it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "said":
            pair = texts_of(node.args)
            assert len(pair) == 2 or isinstance(node.args[0], ast.Starred), node.lineno
        elif isinstance(node, ast.Tuple) and len(node.elts) == 2:
            pair = texts_of(node.elts)
        else:
            continue
        if len(pair) == 2 and ("." in pair[0] or " " in pair[1]):
            yield pair


def wordings():
    found = {}
    for module in SHOWN:
        for key, wording in pairs_in(ast.parse(module.read_text())):
            assert found.setdefault(key, wording) == wording, f"two wordings of {key}"
    return found


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_wording_is_there_and_none_besides(language):
    assert set(sayings_in("findings", language)) ^ set(wordings()) == set()


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_wordings_fill_the_same_places(language):
    english = wordings()
    for key, words in sayings_in("findings", language).items():
        assert set(PLACE.findall(words)) == set(PLACE.findall(english[key])), key


def test_nothing_that_findings_say_was_left_in_english():
    german = sayings_in("findings", "de")
    same = {
        key for key, words in wordings().items() if german[key] == words and re.search(r"[a-z]{3}", words)
    }
    # Sentences made of places alone, and a word that both languages share.
    assert {key for key in same if PLACE.sub("", german[key]).strip(", ")} == set()


ORDER = ("code", "severity", "where", "measured", "limit", "unit", "sentence", "remedy")


def arguments(call, *names):
    """The arguments of a `Finding` by name, wherever they stand."""
    given = {**dict(zip(ORDER, call.args, strict=False)), **{one.arg: one.value for one in call.keywords}}
    return [given[name] for name in names]


def test_no_finding_of_the_pages_is_put_together_by_hand():
    """A text that is no `said` cannot be said in another language."""
    for module in SHOWN:
        for node in ast.walk(ast.parse(module.read_text())):
            if not (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Finding"):
                continue
            code, *texts = arguments(node, "code", "where", "sentence", "remedy")
            if isinstance(code, ast.Constant) and code.value in NOT_ON_PAGES:
                continue
            for text in texts:
                assert not isinstance(text, ast.Constant | ast.JoinedStr), (module.name, node.lineno)


def is_prose(node):
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and " " in str(node.value))


def returned_by_hand(module):
    """Texts in words that functions return without `said`, by line: none of them can be known again."""
    for function in ast.walk(ast.parse(module.read_text())):
        if not isinstance(function, ast.FunctionDef):
            continue
        if getattr(function.returns, "id", "") != "str" or function.name == "_mm":
            continue
        for node in ast.walk(function):
            if isinstance(node, ast.Return) and node.value and any(map(is_prose, ast.walk(node.value))):
                yield function.name, node.lineno


def test_no_reason_is_put_together_by_hand():
    for name in ("bench/questions.py", "jobs/shop_readings.py"):
        assert list(returned_by_hand(ROOT / name)) == [], name


def reason_of(key):
    """A reason as the judges make it: every place is a length."""
    wording = QUESTIONS[key]
    return str(said(key, wording, **dict.fromkeys(PLACE.findall(wording), "38.1 mm")))


@pytest.mark.parametrize("key", QUESTIONS)
def test_a_reason_kept_as_plain_text_is_said_in_german(key):
    kept = reason_of(key)
    assert type(kept) is str
    again = said_before(kept, QUESTIONS)
    assert isinstance(again, Said)
    assert (again, again.key) == (kept, key)
    german = said_in("de", again)
    assert german != kept
    assert leftover(german) == set(), german
    assert PLACE.findall(german) == []
    assert ("38,1 mm" in german) == ("38.1 mm" in kept)
    assert said_in("en", again) == kept


def test_no_reason_is_taken_for_another():
    """Whatever stands in its places, it is known by one wording alone."""
    for key in QUESTIONS:
        others = {one: wording for one, wording in QUESTIONS.items() if one != key}
        assert not isinstance(said_before(reason_of(key), others), Said), key


@pytest.mark.parametrize("kept", ["", "Foam does not grow.", "I think the tape slipped. Read it again."])
def test_what_no_wording_made_stays_as_it_was_told(kept):
    assert said_before(kept, QUESTIONS) is kept


def leftover(text):
    """English words of the rules that a German text still has."""
    return set(re.findall(r"[a-z]+", text.casefold())) & {
        "the",
        "tip",
        "nose",
        "tail",
        "of",
        "from",
        "is",
        "board",
    }


def test_a_board_with_much_to_find_is_told_in_german():
    odd = replace(
        GROYNE,
        rocker=marks((0, 0.5), (12, 0.3), (64, 1.2), (76, 7.5)),
        thickness=marks((0, 0.3), (12, 1.9), (64, 1.5), (76, 0.4)),
    )
    findings = check_board(board_of(odd), System.MM)
    assert {"tip-thin", "rocker-excess", "rocker-flat", "rocker-sudden"} <= {one.code for one in findings}
    for finding in findings:
        for text in (finding.where, finding.sentence, finding.remedy):
            german = said_in("de", text)
            assert german != text
            assert PLACE.findall(german) == []
            assert leftover(german) == set(), german
    (tip, *_) = [one for one in findings if one.where == "nose tip" and one.code == "tip-thin"]
    assert said_in("de", tip.sentence) == ("Nasenspitze: nur 10,2 mm dick; unter 12,7 mm bricht sie leicht.")


def test_a_text_within_a_text_is_said_in_the_language_too():
    place = said("place.from-nose", "{distance} from nose", distance="12 in")
    text = said("where.rails", "rails, {place}", place=place)
    assert text == "rails, 12 in from nose"
    assert said_in("de", text) == "Kanten, 12 in von der Nase"
    assert said_in("en", text) == text
    assert said_in("de", "plain") == "plain"


def test_a_value_is_never_read_as_a_place():
    text = said("where.blank", "blank {name}", name="{name} {0}")
    assert text == "blank {name} {0}"
    assert said_in("de", text) == "Rohling {name} {0}"


@pytest.mark.parametrize("again", [copy.deepcopy, copy.copy, lambda text: pickle.loads(pickle.dumps(text))])
def test_a_copy_knows_how_it_was_made(again):
    text = again(said("where.blank", "blank {name}", name="Q"))
    assert isinstance(text, Said)
    assert (text, text.key, dict(text.values)) == ("blank Q", "where.blank", {"name": "Q"})
