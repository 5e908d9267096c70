"""Worked numbers of tail ends, wings and beaks, through the sheet that a person writes.

The numbers are worked by hand from the shapes' definitions (common practice, no source), in inches.
"""

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import Board, board_of
from foamwright.board.sheet import board_from_text
from foamwright.units import INCH

EXAMPLES = json.loads((Path(__file__).parent / "data" / "shapes-examples.json").read_text("utf-8"))
SHEET = (Path(__file__).parents[2] / "examples" / "groyne-6-4.board.toml").read_text("utf-8")
CLOSE = 0.002
"""Inches to which the worked numbers must be met."""


def example(number: str) -> list[tuple[float, float]]:
    found = next(e for e in EXAMPLES if e["name"].startswith(f"{number} "))
    return list(zip(found["at"], found["value"], strict=True))


def board(outline: str, tail_thickness: str = 'tail = "5/8"', nose: str = 'nose = "1/2"') -> Board:
    """A board with another [outline] and other tips."""
    start, stop = SHEET.index("[outline]"), SHEET.index("[rocker]")
    text = f"{SHEET[:start]}[outline]\n{outline}\n\n{SHEET[stop:]}"
    text = text.replace('tail = "5/8"', tail_thickness).replace('nose = "1/2"', nose)
    return board_of(board_from_text(text, "worked.toml"))


def tailed(tail: str) -> Board:
    widths = 'nose = 0\n"12 from nose" = "12 1/8"\nwide = "20 3/8"\nwide_at = "1 forward of centre"'
    return board(f'{widths}\n"12 from tail" = "14 7/8"\n{tail}')


def half_width(shape: Board, x: float) -> float:
    return float(shape.half_width(np.array([x * INCH]))[0]) / INCH


def inner(shape: Board, x: float) -> float:
    return float(shape.inner(np.array([x * INCH]))[0]) / INCH


def reaches(width: Callable[[float], float], y: float, low: float, high: float) -> float:
    """Return x at which a width that grows or falls between two stations is y."""
    rising = width(high) > width(low)
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if (width(middle) < y) == rising else (low, middle)
    return (low + high) / 2


def test_the_end_of_a_squash() -> None:
    squash = tailed('tail = "5 1/2"\ntail_form = "squash, sharp corners"')
    for y, x in example("10"):
        assert reaches(lambda at: half_width(squash, at), y, 0.0, 0.4) == pytest.approx(x, abs=CLOSE)


def test_rounded_corners_leave_the_middle_of_a_squash_alone() -> None:
    squash = tailed('tail = "5 1/2"\ntail_form = "squash"')
    for y, x in example("10")[:3]:
        assert reaches(lambda at: half_width(squash, at), y, 0.0, 0.3) == pytest.approx(x, abs=CLOSE)
    assert half_width(squash, 0.375) < 2.7


def test_the_end_of_a_diamond() -> None:
    diamond = tailed('tail = 6\ntail_form = "diamond"\ntail_depth = "2 1/2"\ntail_corner = 0')
    for y, x in example("11"):
        assert half_width(diamond, x) == pytest.approx(y, abs=CLOSE)
    rounded = tailed('tail = 6\ntail_form = "diamond"\ntail_depth = "2 1/2"')
    assert half_width(rounded, 1.25) == pytest.approx(1.5, abs=CLOSE)
    assert half_width(rounded, 2.5) < 3.0


def test_the_hollow_of_a_crescent() -> None:
    crescent = tailed('tail = 7\ntail_form = "crescent"\ntail_depth = "1 1/2"\ntail_corner = 0')
    for y, x in example("12"):
        assert reaches(lambda at: inner(crescent, at), y, 0.0, 1.499) == pytest.approx(x, abs=CLOSE)
    rounded = tailed('tail = 7\ntail_form = "crescent"\ntail_depth = "1 1/2"')
    assert reaches(lambda at: inner(rounded, at), 1.75, 0.5, 1.499) == pytest.approx(1.1721, abs=CLOSE)


def test_the_scallops_of_a_bat() -> None:
    bat = tailed('tail = 8\ntail_form = "bat"\ntail_depth = "3/4"')

    def core(x: float) -> float:
        return float(bat.core(np.array([x * INCH]))[0]) / INCH

    for y, x in example("13"):
        edge = core if y < 2 else lambda at: inner(bat, at)
        assert reaches(edge, y, 0.0, 0.75 - 1e-9) == pytest.approx(x, abs=CLOSE)


def test_the_crack_of_a_swallow() -> None:
    swallow = tailed(
        'tail = "9 1/2"\ntail_form = "swallow"\ntail_tip_width = 1\ntail_depth = "4 1/2"\ntail_corner = 0'
    )
    for x, y in example("14"):
        assert inner(swallow, x) == pytest.approx(y, abs=CLOSE)
    assert half_width(swallow, 0.0) == pytest.approx(4.75, abs=CLOSE)


def test_a_wing_is_in_the_widths_that_a_tape_reads() -> None:
    """Widths are given as the worked ones read, wing included; between them the outline is theirs too."""

    def plain(x: float) -> float:
        return 4 + 0.32 * x - 0.0055 * x**2

    def wing(x: float) -> float:
        if x < 13.5:
            return -0.375 * x / 13.5
        s = min((x - 13.5) / 0.5, 1.0)
        return -0.375 + 0.5 * s * s * (3 - 2 * s) if x <= 14 else 0.125 * max(1 - (x - 14) / 8, 0.0) ** 2

    given = "\n".join(f'"{x} from tail" = {2 * (plain(x) + wing(x)):.9f}' for x in (5, 10, 17, 23))
    widest = 0.32 / 0.011
    winged = board(
        f'tail = 8\ntail_form = "square"\nnose = 0\nwide = {2 * plain(widest):.9f}\n'
        f'wide_at = "{widest:.9f} from tail"\n{given}\n"12 from nose" = 9.5\n'
        '[[outline.wing]]\nat = "14 from tail"\nstep = "3/8"\nflare = "1/8"\nfade_forward = 8'
    )
    sharp = winged.outline.drawn
    for x, y in example("15"):
        assert float(sharp(np.array(x * INCH))) / INCH == pytest.approx(y, abs=CLOSE)
        if x > 1:
            assert half_width(winged, x) == pytest.approx(y, abs=CLOSE)


def test_a_beak() -> None:
    """The slope behind the beak is brought to the worked one by the thickness 12 in from the nose."""

    def beaked(thickness: float) -> Board:
        text = SHEET.replace('nose = "1/2"', 'nose_beak = { length = 6, tip = "7/16", thickness = "1 1/2" }')
        text = text.replace('"12 from nose" = "1 1/2"', f'"12 from nose" = {thickness:.9f}')
        return board_of(board_from_text(text, "worked.toml"))

    low, high = 1.6, 1.95
    for _ in range(30):
        middle = (low + high) / 2
        shape = beaked(middle)
        behind = shape.length - 6.001 * INCH
        low, high = (middle, high) if -float(shape.thickness(behind, 1)) < 0.055 else (low, middle)
    assert -float(shape.thickness(shape.length - 6 * INCH, 1)) == pytest.approx(0.055, abs=1e-4)
    for u, thick in example("16"):
        assert float(shape.thickness(shape.length - u * INCH)) / INCH == pytest.approx(thick, abs=CLOSE)


def test_the_foam_of_a_swallow_tip() -> None:
    """The worked tip: half width 4 3/4, crown 1/16, roll 1/2, tuck 3/16 at 30 degrees, 80/20.

    The tip's foam is what is asked for; its crown is limited to the worked one.
    """
    worked = dict(example("14b"))
    outline = (
        'nose = 0\n"12 from nose" = "12 1/8"\nwide = "20 3/8"\nwide_at = "1 forward of centre"\n'
        '"12 from tail" = "14 7/8"\n'
        'tail = "9 1/2"\ntail_form = "swallow"\ntail_tip_width = 1\ntail_depth = "4 1/2"\ntail_corner = 0'
    )
    text = SHEET.replace('tail = "5/8"', f"tail_tip = {worked[4.25]}")
    start, stop = text.index("[outline]"), text.index("[rocker]")
    text = f"{text[:start]}[outline]\n{outline}\n\n{text[stop:]}"
    rails = text.index("[rails]")
    edge = '{ apex = "80/20", tuck = "3/16", edge = "tucked", angle = 30 }'
    text = f'{text[:rails]}[rails]\ntail = {edge}\n\n[deck]\ncentre = {{ crown = "5/8", roll = "1/2" }}\n'
    swallow = board_of(board_from_text(text, "worked.toml"))
    tip = np.array([0.0])
    crown = float(swallow.section_numbers(tip).crown[0, 0]) / INCH
    assert crown == pytest.approx(1 / 16, abs=CLOSE)
    for y, thick in worked.items():
        at = np.array([[y * INCH]])
        foam = float((swallow.deck(tip, at) - swallow.bottom(tip, at))[0, 0]) / INCH
        assert foam == pytest.approx(thick, abs=CLOSE)


@pytest.mark.parametrize("tip", ["5/8", "7/8"])
@pytest.mark.parametrize("corner", ["", 'tail_corner = "7/16"'])
def test_nowhere_in_the_tips_is_the_foam_thinner_than_asked(tip: str, corner: str) -> None:
    """3/8 in or more from every edge, less 1/16 in; the distance to an edge is found by brute force."""
    tail = f'tail = "9 1/2"\ntail_form = "swallow"\ntail_depth = "4 1/2"\n{corner}'
    widths = 'nose = 0\n"12 from nose" = "12 1/8"\nwide = "20 3/8"\n"12 from tail" = "14 7/8"'
    shape = board(f"{widths}\n{tail}", f'tail_tip = "{tip}"')
    x = np.linspace(0.0, 4.4, 400) * INCH
    inner, outer = shape.inner(x), shape.half_width(x)
    edges = np.concatenate(
        [
            np.column_stack([x, inner]),
            np.column_stack([x, outer]),
            np.column_stack([np.zeros(99), np.linspace(inner[0], outer[0], 99)]),
        ]
    )
    for i in range(0, 400, 8):
        y = np.linspace(inner[i], outer[i], 41)
        away = np.min(np.hypot(x[i] - edges[:, :1], y[None, :] - edges[:, 1:]), axis=0)
        if np.any(away >= 0.375 * INCH):
            at = x[i : i + 1]
            foam = (shape.deck(at, y[None, :]) - shape.bottom(at, y[None, :]))[0]
            least = (float(Fraction(tip)) - 1 / 16) * INCH
            assert np.min(foam[away >= 0.375 * INCH]) >= least - 1e-6
