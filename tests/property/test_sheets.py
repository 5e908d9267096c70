"""Laws of reading sheets: any text is a sheet or an InputError; what is written reads back."""

import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.bay.sheet import bay_from_text
from foamwright.blank.sheet import stock_from_text
from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Stretch
from foamwright.board.numbers import BoardNumbers, DeckMark, Edge, RailMark, TailKind
from foamwright.board.sheet import board_from_text, board_sheet
from foamwright.board.tail_forms import tail_of
from foamwright.demo import DEMO_SHEETS, demo_path
from foamwright.errors import InputError
from foamwright.making.nest.sheet import order_from_text
from foamwright.sheets.document import parse_document
from foamwright.sheets.rider import rider_from_text
from foamwright.stations import Mark
from foamwright.units import Unit

READERS: dict[str, Callable[[str, str], Any]] = {
    "board": board_from_text,
    "stock": stock_from_text,
    "bay": bay_from_text,
    "rider": rider_from_text,
    "order": lambda text, name: order_from_text(text, name, Path("nowhere")),
}
QUICK = settings(derandomize=True, max_examples=150, deadline=None)
TEXTS = {name: demo_path(name).read_text("utf-8") for name in DEMO_SHEETS if "stock" not in name}
TEXTS["two-yards.stock.toml"] = (Path(__file__).parents[2] / "examples" / "two-yards.stock.toml").read_text(
    "utf-8"
)

VALUES = st.sampled_from(
    ["nan", "-inf", "true", "0", "-1", "1e300", '""', '"2 3/4"', '"70 mm"', "[]", "[[1], {}]", "{}",
     '{ "" = 1 }', "{ wood = 3 }", "{ nose = {} }", "2020-01-01", '"\\u0000"', '"hard"', '"\U0001f30a"',
     "'''x\ny'''", "99999999999999"]
)  # fmt: skip
KEYS = st.sampled_from(
    ["nose", "tail", '"12 from tail"', '"x from nose"', '""', "wide", "units", "name", "a.b", "box",
     '"1e3 from nose"', "rocker", "blank", "skim", "plane", "thickness"]
)  # fmt: skip
TOML_KEYS = ["a", "b", '"c d"', "'e.f'", "a . g", "b.'h'", '"\\u0069"', '"j\\"k"']
TOML_VALUES = [
    "1", '"#"', "'''\n[x]\ny = 1'''", '"""\\\n"" z = 1"""', "[1, [2, {k = 1}], # n\n]", "{m = {n = 1}}", "{}",
]  # fmt: skip
TOML_HEADS = ["", "# note", "[t]", "[[u]]", "[u.v]", "[[u.w]]", "['t'.\"x y\"]"]


def answer(kind: str, text: str) -> str:
    """What the reader says: nothing if the sheet is sound, and never anything but an InputError."""
    try:
        READERS[kind](text, "x.toml")
    except InputError as why:
        problems = why.problems
    else:
        return ""
    assert all(p.where.startswith("x.toml") and p.what and p.remedy for p in problems)
    return "\n".join(map(str, problems)) or "an error without a problem"


@pytest.mark.parametrize("name", TEXTS)
@QUICK
@given(data=st.data())
def test_any_value_anywhere_is_read_or_told(name: str, data: st.DataObject) -> None:
    lines = TEXTS[name].splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        how = data.draw(st.sampled_from(["value", "key", "drop", "double", "insert"]))
        lines[at : at + 1] = mutated(lines[at], how, data)
    kind = name.split(".")[1] if "." in name else name
    answer(kind, "\n".join(lines))


def mutated(line: str, how: str, data: st.DataObject) -> list[str]:
    """The lines that stand in a line's place."""
    key, equals, value = line.partition("=")
    if how == "value" and equals:
        return [f"{key}= {data.draw(VALUES)}"]
    if how == "key" and equals:
        return [f"{data.draw(KEYS)} = {value}"]
    if how == "insert":
        return [line, f"{data.draw(KEYS)} = {data.draw(VALUES)}"]
    return [] if how == "drop" else [line, line]


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.sampled_from(sorted(READERS)), st.text(alphabet="ab=[]{}\"'.,#\n\\ 1-é", max_size=40))
def test_any_text_is_read_or_told(kind: str, text: str) -> None:
    answer(kind, text)


# A text of TOML's own forms, to hold the key locator against tomllib: every path found must be in the tree.
@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.lists(st.tuples(*map(st.sampled_from, (TOML_KEYS, TOML_VALUES, TOML_HEADS))), max_size=8))
def test_every_key_has_its_line(parts: list[tuple[str, str, str]]) -> None:
    text = "".join(f"{key} = {value}\n{after}\n" for key, value, after in parts)
    try:
        document = parse_document(text, "x.toml")
    except InputError:
        return
    assert set(document.lines) == set(paths(document.tree))
    for path, line in document.lines.items():
        bare = re.sub(r"\W", "", str(path[-1])) if isinstance(path[-1], str) else ""
        shown = text.split("\n")[line - 1].replace("\\u0069", "i")
        assert bare in re.sub(r"\W", "", shown)


def paths(node: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The path of every key and every item below a node."""
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [found for key, value in inner for found in [(*path, key), *paths(value, (*path, key))]]


TUCKS = st.just(0.0) | st.floats(1e-9, 0.05)
EDGES = st.sampled_from(list(Edge))
ANGLES = st.none() | st.integers(10, 75).map(math.radians)
FULLNESS = st.sampled_from([0.5, 0.3, 0.6180339887])
# What is under 1e-25 m is written as nothing.
DEPTHS = st.just(0.0) | st.floats(1e-9, 0.01)


@st.composite
def boards(draw: st.DrawFn) -> BoardNumbers:
    """Boards whose numbers can stand together, at stations on no grid."""
    length = draw(st.floats(1.3, 4.2))
    x = sorted(draw(st.lists(st.floats(0.05, length - 0.05), min_size=2, max_size=2)))
    if x[1] - x[0] < 0.02:
        x = [0.3, length - 0.3]
    places = [0.0, x[0], x[1], length]

    def marks(low: float, high: float) -> tuple[Mark, ...]:
        return tuple(Mark(place, draw(st.floats(low, high)), "") for place in places)

    rails = tuple(
        RailMark(place, draw(st.floats(0, 0.95)), draw(TUCKS), "", draw(EDGES), draw(ANGLES), draw(FULLNESS))
        for place in places
    )
    deck = tuple(
        DeckMark(place, draw(DEPTHS), draw(st.floats(0.004, 0.1)), "", draw(FULLNESS)) for place in places
    )
    stretch = Stretch(length - 0.01, draw(st.floats(0.7 * length, 0.9 * length)), 0.2, 0.1)
    bottom = (
        term_of("concave", stretch, depth=draw(st.floats(0.001, 0.02))),
        term_of("channels", stretch, depth=draw(st.floats(0.001, 0.02)), count=4.0),
    )
    rocker = tuple(
        Mark(place, height, "") for place, height in zip(places, [0.06, 0.02, 0.05, 0.13], strict=True)
    )
    return BoardNumbers(
        name=draw(st.sampled_from(["Groyne", 'a "b" \\ c', "Ǩaimana 🌊"])),
        length=length,
        outline=marks(0.1, 0.4),
        wide=draw(st.floats(0.4, 0.7)),
        wide_at=draw(st.floats(x[0] + 0.005, x[1] - 0.005)),
        tail=draw(
            st.sampled_from(
                [tail_of(TailKind.SQUASH, 0.14, {"tail_corner": 0.01}), tail_of(TailKind.SWALLOW, 0.2)]
            )
        ),
        rocker=rocker,
        low_at=draw(st.none() | st.just(0.0) | st.floats(1e-9, length)),
        thickness=marks(0.01, 0.06),
        thickest=draw(st.floats(0.061, 0.15)),
        thickest_at=(x[0] + x[1]) / 2,
        rails=rails,
        deck=deck,
        bottom=bottom,
    )


@QUICK
@given(boards(), st.sampled_from([Unit.INCH, Unit.MM, Unit.CM]))
def test_a_written_board_reads_back_bit_for_bit(board: BoardNumbers, unit: Unit) -> None:
    again = board_from_text(board_sheet(board, unit), "x.toml")
    for table in ("outline", "rocker", "thickness", "rails", "deck"):
        nameless = tuple(replace(mark, place="") for mark in getattr(again, table))
        again = replace(again, **{table: nameless})
    contours = tuple(replace(term, stretch=replace(term.stretch, places=("",) * 4)) for term in again.bottom)
    again = replace(again, bottom=contours)
    assert again == board
