"""Sheets that are right, and the same spoilt in every place: for tests of what is told about them."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import foamwright
from foamwright.bay.sheet import bay_from_text
from foamwright.blank.sheet import stock_from_text
from foamwright.board.sheet import board_from_text
from foamwright.errors import InputError
from foamwright.sheets.rider import rider_from_text

BOARD = (Path(foamwright.__file__).parent / "demo" / "groyne.board.toml").read_text()
OTHER_BOARD = (
    re.sub(r"tail_corner = .*", "", BOARD)
    .replace('tail_form = "square"', 'tail_form = "swallow"\ntail_depth = 4\ntail_tip_width = 1')
    .replace('tail = "5 1/2"', 'tail = "9 1/2"')
    .replace('tail = "5/8"', 'tail_tip = "5/8"')
    .replace("[rocker]", '[rocker]\nlow_at = "1 aft of centre"\n')
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
    line for line in BOARD.split("\n") if not re.match("tail_form|tail_corner", line)
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
    ("board", 'tail_form = "square"', ""),
    ("board", 'tail = "5 1/2" ', "#"),
    ("board", 'tail = "5 1/2" ', "tail = 0 #"),
    ("cornered board", "[rocker]", "tail = 0\n[rocker]"),
    (
        "board",
        '"5 1/2"                 # width of the block at the tip\ntail_form = "square"',
        "0",
    ),
    ("board", "nose = 4.75", 'nose = 4.75\n"12.0 from nose" = 2'),
    ("board", "nose = 4.75", 'nose = 4.75\n"80 from tail" = 2'),
    (
        "board",
        "nose = 4.75",
        "nose = 4.75\n" + "\n".join(f'"{n / 8} from tail" = 1' for n in range(100, 310)),
    ),
    ("board", "[[bottom.contour]]", "[bottom]\nmiddle = 3\n[[bottom.contour]]"),
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
