"""Board sheets: what they become, and everything that can be wrong with them."""

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.board.numbers import BoardNumbers, Edge, TailKind
from foamwright.board.sheet import board_from_text, board_sheet, read_board
from foamwright.errors import InputError, Problem
from foamwright.units import Unit

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"
TEXT = EXAMPLE.read_text("utf-8").replace(
    'tail_form = "square"\ntail_corner = "3/4"', 'tail_form = "square, rounded corners"'
)
"""The example, its tail said in the other way there is."""

CASES = tomllib.loads((Path(__file__).parent / "wrong_boards.toml").read_text("utf-8"))["case"]
INCH = 0.0254


def changed(*changes: tuple[str, str]) -> str:
    """The example with some of its text replaced; each must be there."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError, match=r"x\.toml, line") as caught:
        board_from_text(text, "x.toml")
    return caught.value.problems


def the_problem(text: str) -> str:
    (only,) = problems(text)
    return str(only)


def test_the_example_loads_as_it_is() -> None:
    board = read_board(EXAMPLE)
    assert board.name == "Groyne"
    assert board.length == 1.9304
    assert [mark.place for mark in board.outline] == ["tail", "12 from tail", "12 from nose", "nose"]
    assert [mark.value for mark in board.outline] == [0.1397, 0.377825, 0.307975, 0.0]
    assert (board.wide, board.wide_at) == (0.517525, 0.9906)
    assert (board.tail.kind, board.tail.corner_radius, board.tail.depth) == (TailKind.SQUARE, 0.01905, 0.0)
    assert [mark.x for mark in board.rocker] == [0.0, 0.3048, 1.6256, 1.9304]
    assert [mark.value for mark in board.rocker] == [0.053975, 0.02159, 0.04826, 0.12065]
    assert board.low_at is None
    assert (board.thickest, board.thickest_at) == (0.0635, 1.016)
    assert [(rail.apex, rail.tuck, rail.edge) for rail in board.rails] == [
        (0.05, 0.0, Edge.HARD),
        (0.2, 0.00635, Edge.TUCKED),
        (0.4, 0.009525, Edge.SOFT),
        (0.5, 0.009525, Edge.SOFT),
    ]
    assert board.rails[1].angle == math.radians(45)
    assert [(deck.x, deck.crown, deck.roll) for deck in board.deck] == [(0.9652, 0.0079375, 0.05715)]
    concave, vee = board.bottom
    assert (concave.shape, concave.numbers["depth"], vee.shape) == ("concave", 0.0047625, "vee")
    assert concave.stretch.marks == (1.4732, 0.9652, 0.3048, 0.0254)
    assert vee.stretch.marks == (0.3048, 0.0508, 0.0, 0.0)
    assert board.assumed == ()
    assert board.fins == ()


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MM, Unit.CM])
def test_a_written_sheet_reads_back_to_the_same_numbers(unit: Unit) -> None:
    board = board_from_text(TEXT + '\n[fins]\nlayout = "four"\n', "x.toml")
    again = board_from_text(board_sheet(board, unit), "x.toml")
    assert nameless(again) == nameless(board)


def nameless(board: BoardNumbers) -> BoardNumbers:
    """Without the names of stations, which mean other places in another unit."""
    tables = {
        table: tuple(replace(mark, place="") for mark in getattr(board, table))
        for table in ("outline", "rocker", "thickness", "rails", "deck")
    }
    contours = (replace(term, stretch=replace(term.stretch, places=("",) * 4)) for term in board.bottom)
    return replace(board, **tables, bottom=tuple(contours))


def test_a_written_sheet_reads_as_a_person_would_write_it() -> None:
    text = board_sheet(read_board(EXAMPLE), Unit.INCH)
    assert 'length = "6\'4\\""' in text
    assert '"12 from tail" = "14 7/8"' in text
    assert 'wide_at = "1 forward of centre"' in text
    assert 'tail = { apex = 0.05, tuck = 0, edge = "hard" }' in text
    assert 'centre = { apex = "60/40", tuck = "3/8" }' in text
    assert 'full = ["centre", "12 from tail"]' in text


@pytest.mark.parametrize(
    ("start", "key"),
    [
        ("name", "name"), ("length", "length"), ("nose = 0\n", "nose"), ("wide =", "wide"),
        ('tail = "5 1/2"', "tail"), ("nose = 4.75", "nose"), ('tail = "2 1/8"', "tail"),
        ('nose = "1/2"', "nose"), ("thickest =", "thickest"), ('tail = "5/8"', "tail"),
    ],
)  # fmt: skip
def test_every_number_must_be_there(start: str, key: str) -> None:
    at = TEXT.index(f"\n{start}") + 1
    problem = the_problem(TEXT[:at] + TEXT[TEXT.index("\n", at) + 1 :])
    assert f"“{key}” is missing. Add {key} = " in problem


@pytest.mark.parametrize("table", ["outline", "rocker", "thickness", "rails"])
def test_every_table_must_be_there(table: str) -> None:
    start = TEXT.index(f"[{table}]")
    end = TEXT.find("\n[", start)
    problem = the_problem(TEXT[:start] + (TEXT[end:] if end > 0 else ""))
    assert (
        problem == f"x.toml, line 1, {table}: “{table}” is missing. Add [{table}]: {problem.split(': ')[-1]}"
    )


def test_a_sheet_without_units_is_told_once() -> None:
    problem = the_problem(changed(('units = "in"\n', "")))
    assert problem.startswith("x.toml, line 6, [outline] nose: 0 has no unit. The same goes for 30 more")


def test_a_sheet_with_its_units_at_every_number_needs_none_declared() -> None:
    import re

    text = board_sheet(read_board(EXAMPLE), Unit.MM).replace('units = "mm"\n', "")
    plain = r"([0-9.]+)"
    text = re.sub(rf"(?m)^((?!depth|angle)[^={{\n]+ = ){plain}$", r'\1"\2 mm"', text)
    text = re.sub(rf"(tuck|crown|roll|depth|blend) = {plain}", r'\1 = "\2 mm"', text)
    text = re.sub(rf'"{plain} (from|forward|aft)', r'"\1 mm \2', text)
    assert nameless(board_from_text(text, "x.toml")) == nameless(read_board(EXAMPLE))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["new"][:40])
def test_what_is_wrong_is_told_with_its_line_and_remedy(case: dict[str, str]) -> None:
    found = problems(changed((case["old"], case["new"])))
    line = TEXT[: TEXT.index(case["old"])].count("\n") + case.get("below", 0) + 1
    assert str(found[-1]).startswith(f"x.toml, line {line}, ")
    assert case["words"] in str(found[-1])
    assert all(problem.remedy and problem.what for problem in found)


def test_a_missing_inch_mark_is_understood() -> None:
    assert board_from_text(changed(("6'4\\\"", "6'4")), "x.toml") == read_board(EXAMPLE)


def test_every_problem_is_told_at_once_in_the_order_of_the_lines() -> None:
    found = problems(
        changed(
            ('"Groyne"', "7"), ("nose = 0", "nose = 25"), ('"1 forward of centre"', '"x from tail"'),
            ("nose = 4.75", "nose = nan"), ('thickest = "2 1/2"\n', ""), ('apex = "60/40"', "apex = -1"),
            ('"concave"', '"concav"'),
        )
    )  # fmt: skip
    lines = [int(problem.where.split("line ")[1].split(",")[0]) for problem in found]
    assert lines == sorted(lines)
    assert lines == [2, 7, 10, 16, 21, 30, 38]


def test_a_hole_hides_no_other_problem() -> None:
    # The length is missing, and still the widths are compared.
    found = problems(changed(('length = "6\'4\\""\n', ""), ("nose = 0", "nose = 25")))
    assert [problem.where for problem in found] == [
        "x.toml, line 1, length",
        "x.toml, line 6, [outline] nose",
    ]


@pytest.mark.parametrize(
    ("form", "tail", "kind", "corner", "depth"),
    [
        ("pin", "0", TailKind.PIN, 0, 0),
        ("Round Tail", "0", TailKind.ROUND, 0, 0),
        ("round pin", "0", TailKind.ROUNDED_PIN, 0, 0),
        ("square", "5", TailKind.SQUARE, 0.01905, 0),
        ("square, sharp corners", "5", TailKind.SQUARE, 0, 0),
        ("rounded square", "5", TailKind.SQUARE, 0.01905, 0),
        ("rounded square", "2", TailKind.SQUARE, 0.0127, 0),
        ("squash", "5 1/2", TailKind.SQUASH, 0.03175, 0),
        ("squash, sharp corners", "5 1/2", TailKind.SQUASH, 0, 0),
        ('squash"\ntail_corner = "1/2', "5", TailKind.SQUASH, 0.0127, 0),
        ('swallow"\ntail_depth = "5', "8", TailKind.SWALLOW, 0.00635, 0.127),
        ("swallow", "8", TailKind.SWALLOW, 0.00635, 0.1016),
        ("crescent", "7", TailKind.CRESCENT, 0.00635, 0.03175),
        ("bat", "8", TailKind.BAT, 0, 0.01905),
        ('diamond"\ntail_depth = "2', "5", TailKind.DIAMOND, 0.0127, 0.0508),
    ],
)
def test_tail_forms(form: str, tail: str, kind: TailKind, corner: float, depth: float) -> None:
    board = board_from_text(changed(('"5 1/2"', f'"{tail}"'), ("square, rounded corners", form)), "x.toml")
    assert (board.tail.kind, board.tail.depth) == (kind, depth)
    assert board.tail.corner_radius == pytest.approx(corner, abs=1e-12)


def test_a_pin_needs_no_width() -> None:
    text = changed(('tail = "5 1/2" ', "# "), ("square, rounded corners", "pin"))
    assert board_from_text(text, "x.toml").outline[0].value == 0


def test_a_block_needs_no_form() -> None:
    text = changed(("tail_form", "# tail_form"))
    assert board_from_text(text, "x.toml").tail.kind is TailKind.SQUARE


def test_neither_width_nor_form_is_too_little() -> None:
    text = changed(("tail_form", "# tail_form"), ('tail = "5 1/2" ', "# "))
    assert "“tail” and “tail_form” are missing" in the_problem(text)
    assert "“tail_form” is missing" in the_problem(changed(("tail_form", "# tail_form"), ('"5 1/2"', "0")))


FIN = """
[[fins.box]]
name = "front"
at = "11 from tail"
offset = 5
toe = 3
cant = 6
length = "4 1/2"
width = 1
depth = "1/2"
"""


def test_a_box_beside_the_stringer_is_a_pair() -> None:
    left, right = board_from_text(TEXT + FIN, "x.toml").fins
    assert (left.name, right.name) == ("front left", "front right")
    assert (left.y, right.y) == (0.127, -0.127)
    assert left.x == right.x == 0.2794
    assert (left.toe, left.cant) == (math.radians(3), math.radians(6))
    assert left.cover == 0.00635


def test_a_box_on_the_stringer_is_one() -> None:
    (box,) = board_from_text(TEXT + FIN.replace("offset = 5", "offset = 0"), "x.toml").fins
    assert (box.name, box.y) == ("front", 0.0)


def test_a_box_on_one_side() -> None:
    (box,) = board_from_text(TEXT + FIN + 'side = "right"', "x.toml").fins
    assert (box.name, box.y) == ("front", -0.127)


@pytest.mark.parametrize(
    ("layout", "names"),
    [
        ("one", ["centre"]),
        ("two", ["side left", "side right"]),
        ("three", ["front left", "front right", "centre"]),
        ("four", ["front left", "front right", "rear left", "rear right"]),
        ("one large with two small", ["centre", "side left", "side right"]),
    ],
)
def test_usual_layouts_lie_inside_the_widths_given(layout: str, names: list[str]) -> None:
    board = board_from_text(f'{TEXT}\n[fins]\nlayout = "{layout}"', "x.toml")
    assert [fin.name for fin in board.fins] == names
    for fin in board.fins:
        # Straight from the tail's 5 1/2 to the 14 7/8 at 12 in, then on to the wide point.
        x = fin.x / INCH
        width = 5.5 + (14.875 - 5.5) * x / 12 if x <= 12 else 14.875 + (20.375 - 14.875) * (x - 12) / 27
        assert abs(fin.y) / INCH <= width / 2 - 1
        assert sum(f.y for f in board.fins) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("fins", "words"),
    [
        ('[fins]\nlayout = "thre"', "Did you mean “three”?"),
        ("[fins]", "There is nothing in it"),
        ('[fins]\nlayout = "three"\n' + FIN.strip(), "There are a layout and boxes too"),
        (FIN.replace("offset = 5", "offset = 14"), "14 in from the stringer is outside the board"),
        (FIN.replace('"11 from tail"', '"11 form tail"'), "is not a station"),
        (FIN.replace("toe = 3", "toe = 90"), "An angle in degrees is from -45 to 45"),
        (FIN.replace('name = "front"', ""), 'Add name = "front"'),
        (FIN + "colour = 1", "The key “colour” is unknown. It can be name, at"),
        ("[fins]\nbox = 3", "3 stands where entries belong. Write [[fins.box]]"),
        ("[fins]\nbox = [3]", "3 stands where a table belongs"),
        ("fins = 3", "3 stands where"),
    ],
)
def test_what_is_wrong_with_fins(fins: str, words: str) -> None:
    text = f"{fins}\n{TEXT}" if fins.startswith("fins") else f"{TEXT}\n{fins}"
    assert words in the_problem(text)


def test_ten_thousand_stations_are_read_or_told(tmp_path: Path) -> None:
    many = "\n".join(f'"{n / 1000} from tail" = 5' for n in range(20, 10_020))
    file = tmp_path / "x.toml"
    file.write_text(TEXT.replace("[rocker]", f"{many}\n[rocker]"), encoding="utf-8")
    with pytest.raises(InputError, match="are the same place") as caught:
        read_board(file)
    assert len(caught.value.problems) > 9_000


def test_more_stations_than_a_curve_is_made_from_are_refused_at_once() -> None:
    def rocker(count: int) -> str:
        many = "\n".join(
            f'"{n * 0.1 + 0.03:.2f} from tail" = {2 * (1 - n / 400) ** 2:.6f}' for n in range(5, 5 + count)
        )
        return TEXT.replace("[rocker]", f"[rocker]\n{many}")

    with pytest.raises(InputError, match="stations are more than the 200 that one curve is made from"):
        board_from_text(rocker(201), "x")
    with pytest.raises(InputError) as few:
        board_from_text(rocker(190), "x")
    assert "are more than" not in str(few.value)


OLD_RAIL = "centre = { apex = 0.4, lower = 2.3, upper = 2.1 }"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('centre = { apex = "60/40", tuck = "3/8" }', OLD_RAIL),
        ("[[bottom.contour]]", '[bottom]\nnose = { shape = "flat" }\n\n[[bottom.contour]]'),
        ("nose = 4.75", 'nose = 4.75\napex = "centre"'),
    ],
)
def test_the_old_form_is_refused_once_with_how_to_say_it_now(old: str, new: str) -> None:
    only = the_problem(changed((old, new)))
    assert "This sheet is in the old form" in only
    assert "[[bottom.contour]]" in only
    assert "low_at" in only


def test_what_a_sheet_does_not_say_is_the_usual_and_noted() -> None:
    text = changed(
        ('wide_at = "1 forward of centre"\n', ""),
        ('thickest_at = "2 forward of centre"\n', ""),
        ('centre = { crown = "5/16", roll = "2 1/4" }', ""),
        (', tuck = "3/8" }', " }"),
        (", tuck = 0,", ","),
    )
    board = board_from_text(text, "x.toml")
    assert board.wide_at == board.thickest_at == pytest.approx(39 * INCH)
    assert (board.rails[0].tuck, board.rails[-1].tuck) == (0.0, pytest.approx(INCH / 2))
    assert set(board.assumed) == {"wide_at", "thickest_at", "tuck", "deck"}
