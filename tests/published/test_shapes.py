"""Worked numbers of every shape, through the public sheet: a text is read, made a board, and measured.

Source of `data/shapes-examples.json`: the project's own design page of shapes, computed there by closed
forms (common practice, no source); inches, accepted within 0.002.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import Board, board_of
from foamwright.board.sheet import board_from_text
from foamwright.exchange.solids import board_body
from foamwright.exchange.step import solids_of
from foamwright.shape.solid import volume
from foamwright.units import INCH

DATA = Path(__file__).parent / "data" / "shapes-examples.json"
EXAMPLES = {
    example["name"].split()[0].rstrip(":"): example
    for example in json.loads(DATA.read_text(encoding="utf-8"))
}
WITHIN = 0.002

TWO_TERMS = """
[[bottom.contour]]
shape = "{first}"
depth = "{depth}"
from = "nose"
full = ["nose", "tail"]
to = "tail"
"""


def sheet(wide: float, thick: float, rail: str, deck: str, rest: str = "", thick_at: str = "centre") -> str:
    """A 6 ft 8 in board whose section at the centre has these numbers."""
    return f"""
name = "Worked"
units = "in"
length = 80

[outline]
nose = 0
"12 from nose" = {wide * 0.58}
wide = {wide}
wide_at = "centre"
"12 from tail" = {wide * 0.72}
tail = {wide * 0.28}
tail_form = "square"
tail_corner = 0

[rocker]
nose = 4.75
"12 from nose" = 1.9
low_at = "centre"
"12 from tail" = 0.85
tail = 2

[thickness]
nose = "1/2"
"12 from nose" = {thick * 0.6}
thickest = {thick}
thickest_at = "{thick_at}"
"12 from tail" = {thick * 0.66}
tail = "5/8"

[rails]
centre = {{ {rail} }}

[deck]
centre = {{ {deck} }}
{rest}
"""


def term(shape: str, **keys: str | float) -> str:
    """A contour over the whole board."""
    if not {"from", "full", "to"} & keys.keys() and "fade" not in keys:
        keys |= {"from": "nose", "to": "tail"}
        places = 'full = ["nose", "tail"]'
    else:
        places = ""
    written = [f"{key} = {json.dumps(value)}" for key, value in keys.items()]
    return "\n".join(["[[bottom.contour]]", f'shape = "{shape}"', *written, places, ""])


def made(*args: object, **keys: object) -> Board:
    return board_of(board_from_text(sheet(*args, **keys), "worked.toml"))  # type: ignore[arg-type]


def across(board: Board, y: list[float], *, deck: bool = False) -> np.ndarray:
    """Heights at the centre over the bottom at the stringer there, inches."""
    x, at = np.array([board.length / 2.0]), np.array([y]) * INCH
    height = board.deck(x, at) if deck else board.bottom(x, at)
    return np.asarray((height - board.rocker(x))[0] / INCH)


def compare(name: str, found: np.ndarray, skip_last: bool = False) -> None:
    wanted = np.array(EXAMPLES[name]["value"])
    np.testing.assert_allclose(found, wanted, atol=WITHIN)


USUAL = (20.0, 2.5, 'apex = "60/40", tuck = "1/2", edge = "soft"', 'crown = "3/8", roll = "2 1/2"')


def area(board: Board) -> float:
    """Area of the section at the centre by a rule of its own, square inches."""
    from scipy.integrate import quad

    x, half = np.array([board.length / 2.0]), float(board.half_width(board.length / 2.0))

    def foam(y: float) -> float:
        at = np.array([[y]])
        return float((board.deck(x, at) - board.bottom(x, at))[0, 0])

    marks = [half - inset * INCH for inset in (0.25, 0.5, 1.25, 2.0, 2.5)]
    total, _ = quad(foam, 0.0, half, points=marks, epsabs=1e-12, limit=400)
    return 2.0 * total / INCH**2


def test_flat_bottom_and_crowned_deck() -> None:
    board = made(*USUAL)
    names = [e for e in json.loads(DATA.read_text(encoding="utf-8")) if e["name"].startswith("1 flat")]
    for example, deck in zip(names, (False, True), strict=True):
        np.testing.assert_allclose(across(board, example["at"], deck=deck), example["value"], atol=WITHIN)
    assert area(board) == pytest.approx(44.629, abs=0.002)


def test_tucked_under_edge() -> None:
    rail = 'apex = "70/30", tuck = "1/2", edge = "tucked", angle = 45'
    board = made(20.0, 2.5, rail, 'crown = "1/4", roll = 2')
    compare("2", across(board, EXAMPLES["2"]["at"]))
    assert area(board) == pytest.approx(46.171, abs=0.002)


def test_hard_down_rail() -> None:
    board = made(20.0, 2.5, 'apex = "down", tuck = 0, edge = "hard"', 'crown = "1/4", roll = 2')
    compare("3", across(board, EXAMPLES["3"]["at"]))
    assert area(board) == pytest.approx(46.075, abs=0.002)
    numbers = board.section_numbers(np.array([board.length / 2.0]))
    assert float(numbers.rise[0, 0]) / INCH == pytest.approx(0.1125, abs=WITHIN)


def test_flat_deck_with_round_rail() -> None:
    board = made(20.0, 2.5, USUAL[2], 'crown = 0, roll = "1 1/4"')
    compare("4", across(board, EXAMPLES["4"]["at"], deck=True))
    assert area(board) == pytest.approx(49.208, abs=0.002)


CONTOURS = {
    "5": term("concave", depth="3/16"),
    "5b": term("concave", depth="3/16", width=14, blend=1),
    "6": term("double concave", depth="1/8"),
    "6b": term("concave", depth="3/16") + term("double concave", depth="1/16"),
    "7d": term("roll", depth="1/4"),
}


@pytest.mark.parametrize("name", CONTOURS)
def test_contours(name: str) -> None:
    board = made(*USUAL, CONTOURS[name])
    compare(name, across(board, EXAMPLES[name]["at"]))
    if name == "5":
        assert area(board) == pytest.approx(45.898, abs=0.002)


VEES = {
    "7": term("vee", depth="3/16"),
    "7b": term("vee", depth="3/16") + term("double concave", depth="1/8"),
    "7c": term("vee", depth="3/16", panels="rolled"),
}


@pytest.mark.parametrize("name", VEES)
def test_vees(name: str) -> None:
    rail = 'apex = "80/20", tuck = "1/4", edge = "tucked", angle = 30'
    board = made(15.0, 1.75, rail, 'crown = "3/16", roll = 2', VEES[name])
    compare(name, across(board, EXAMPLES[name]["at"]))


def test_spiral_vee_and_its_doubles() -> None:
    text = term("vee", depth="3/16", **{"from": "30 from tail", "full": "8 from tail"})
    text += term(
        "double concave", depth="1/8", **{"from": "30 from tail", "full": "19 from tail", "to": "8 from tail"}
    )
    board = made(*USUAL, text)
    for name, share in (("7e", 1.0), ("7f", 0.5)):
        x = np.array(EXAMPLES[name]["at"]) * INCH
        edge = board.half_width(x) - board.sections.tuck_at(x)
        high = board.bottom(x, (share * edge)[:, None])[:, 0] - board.rocker(x)
        if name == "7f":
            flat = board.bottom(x, edge[:, None])[:, 0] - board.rocker(x)
            high = high - flat * share
        np.testing.assert_allclose(high / INCH, EXAMPLES[name]["value"], atol=WITHIN)


@pytest.mark.parametrize(("name", "profile"), [("8", "square"), ("8b", "ramp")])
def test_channels(name: str, profile: str) -> None:
    keys = {"count": 4, "width": 2, "depth": "3/16", "first": "1 3/4", "pitch": "2 1/2", "profile": profile}
    board = made(*USUAL, term("channels", **keys, **{"from": "60 from tail", "fade": 7, "to": "tail"}))
    compare(name, across(board, EXAMPLES[name]["at"]))


def test_channels_fade() -> None:
    keys = {"count": 4, "width": 2, "depth": "3/16", "from": "28 from tail", "fade": 7, "to": "tail"}
    board = made(*USUAL, term("channels", **keys))
    x = np.array(EXAMPLES["8c"]["at"]) * INCH
    high = board.bottom(x, np.full((x.size, 1), 2.25 * INCH))[:, 0] - board.rocker(x)
    np.testing.assert_allclose(high / INCH, EXAMPLES["8c"]["value"], atol=WITHIN)


def test_concave_fades() -> None:
    keys = {"from": "58 from tail", "full": ["32 from tail", "12 from tail"], "to": "1 from tail"}
    board = made(*USUAL, term("concave", depth="3/16", **keys))
    x = np.array(EXAMPLES["9"]["at"]) * INCH
    edge = (board.half_width(x) - board.sections.tuck_at(x))[:, None]
    hung = board.rocker(x) - board.bottom(x, edge)[:, 0]
    np.testing.assert_allclose(hung / INCH, EXAMPLES["9"]["value"], atol=WITHIN)


def test_deck_step() -> None:
    step = '[deck.step]\nat = "22 from nose"\nstep = "3/8"\nblend = 4\n'
    plain, stepped = made(*USUAL), made(*USUAL, step)
    x = plain.length - np.array(EXAMPLES["17"]["at"]) * INCH
    taken = plain.deck(x, np.zeros((x.size, 1))) - stepped.deck(x, np.zeros((x.size, 1)))
    np.testing.assert_allclose(taken[:, 0] / INCH, EXAMPLES["17"]["value"], atol=WITHIN)


def test_deck_step_inside_a_margin_leaves_the_rail_and_lowers_the_stringer() -> None:
    step = '[deck.step]\nat = "22 from nose"\nstep = "3/8"\nblend = 4\nmargin = 3\n'
    plain, stepped = made(*USUAL), made(*USUAL, step)
    x = np.array([plain.length - 14 * INCH])
    half = float(plain.half_width(x)[0])
    # S over the margin: whole inside it, half half way, nothing at the edge.
    y = np.array([[0.0, half - 3 * INCH, half - 1.5 * INCH, half]])
    taken = plain.deck(x, y) - stepped.deck(x, y)
    assert taken[0] / INCH == pytest.approx([0.375, 0.375, 0.1875, 0.0], abs=1e-9)
    assert plain.bottom(x, y) == pytest.approx(stepped.bottom(x, y), abs=1e-12)
    assert float(plain.thickness(x)[0] - stepped.thickness(x)[0]) == pytest.approx(0.375 * INCH)


def test_rail_step() -> None:
    step = '[deck.rail_step]\nstep = "1/4"\nmargin = 3\nblend = 1\n'
    size = (22.0, *USUAL[1:])
    y = EXAMPLES["17b"]["at"]
    taken = across(made(*size), y, deck=True) - across(made(*size, step), y, deck=True)
    np.testing.assert_allclose(taken, EXAMPLES["17b"]["value"], atol=WITHIN)


def test_hull_with_chine() -> None:
    text = term("roll", depth="3/16") + term("chine", width=2, angle=20, fade=10)
    board = made(21.0, *USUAL[1:], text)
    compare("18", across(board, EXAMPLES["18"]["at"]))


@pytest.mark.parametrize("ellipse", [False, True])
def test_area_of_a_section_is_its_closed_form(*, ellipse: bool) -> None:
    """A parabola leaves a sixth of its corner's and a third of its end's height; an ellipse 1 - pi/4."""
    fullness = f"fullness = {2.0**0.5 - 1.0!r}" if ellipse else "fullness = 0.5"
    crown = 0.0 if ellipse else 0.375
    board = made(20.0, 2.5, f"{USUAL[2]}, {fullness}", f"crown = {crown}, roll = 2.5, {fullness}")
    half, tuck, roll, thick = 10.0, 0.5, 2.5, 2.5
    apex, slope = 0.4 * (thick - crown), 2.0 * crown / (half - roll)
    if ellipse:
        below, off = tuck * apex * (1.0 - np.pi / 4.0), roll * (thick - apex) * (1.0 - np.pi / 4.0)
    else:
        # Integrals of q^2 and of 2 q (1 - q) over the way outwards, whose element is 2 (1 - q) dq.
        below = tuck * apex / 6.0
        off = crown * (half - roll) / 3.0 + crown * roll
        off += roll * (2.0 * roll * slope + thick - crown - apex) / 6.0
    wanted = 2.0 * (half * thick - below - off)
    assert area(board) == pytest.approx(wanted, rel=1e-9)


def swallow() -> Board:
    """A board with a notch, its tips limited in crown and roll."""
    text = sheet(*USUAL).replace("tail = 5.6000000000000005", "tail = 9")
    text = text.replace('tail_form = "square"\ntail_corner = 0', 'tail_form = "swallow"\ntail_depth = 4')
    return board_of(board_from_text(text.replace('tail = "5/8"', 'tail_tip = "5/8"'), "worked.toml"))


def test_volume_of_a_notched_board_is_settled() -> None:
    """Each place where a tip's limits begin or end to bind is a panel's end; else Gauss converges slowly."""
    board = swallow()
    assert board.outline.foot > 0.0
    assert board.mass.volume == pytest.approx(volume(board, 192, 192), rel=5e-7)


def test_a_notched_board_in_the_kernel_has_the_volume_to_a_hundredth_of_a_percent() -> None:
    pytest.importorskip("OCP", reason="the CAD kernel is an extra")
    board = swallow()
    (solid,) = solids_of(board_body(board))
    assert solid.volume == pytest.approx(volume(board, 96, 96), rel=1e-4)
