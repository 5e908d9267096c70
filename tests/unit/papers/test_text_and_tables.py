import pytest

from foamwright.papers.dimension import (
    ARROW_LENGTH,
    Rung,
    dimension,
    horizontal_dimension,
    leader,
    station_ladder,
    vertical_dimension,
)
from foamwright.papers.dimension_marks import inch_bar, millimetre_bar
from foamwright.papers.drawing import Polygon, Polyline, Text
from foamwright.papers.drawing_table import Aligned, Column, table, whole_part
from foamwright.papers.drawing_text import BODY, fitted, numbered, paragraph, stacked, wrapped_lines
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Face, Pen

WORDS = "Four strokes from 9 in, run off the nose; at the tip 2 7/16 in should be left, or 61.9 mm."


def texts(drawing):
    return [item for item in drawing.items if isinstance(item, Text)]


def test_wrapped_lines_fit_their_column_and_lose_no_word():
    for width in (30.0, 45.0, 80.0):
        lines = wrapped_lines(WORDS, width)
        assert all(line_width(words, BODY.face, BODY.height) <= width for words in lines)
        assert " ".join(lines) == WORDS


@pytest.mark.parametrize("width", [20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0])
def test_a_measure_is_never_parted(width):
    lines = wrapped_lines(WORDS, width)
    assert any("2 7/16 in" in words for words in lines)
    assert any("61.9 mm." in words for words in lines)


def test_a_paragraph_hangs_below_its_corner():
    block = paragraph(WORDS, 40.0)
    box = block.drawing.box()
    assert box.top <= 0.5
    assert -block.height <= box.bottom


def test_blocks_are_stacked_without_touching():
    first, second = paragraph(WORDS, 40.0), numbered([WORDS, "Measure."], 40.0)
    both = stacked([first, second], 3.0)
    boxes = [text.box() for text in texts(both.drawing)]
    count = len(texts(first.drawing))
    assert min(box.bottom for box in boxes[:count]) > max(box.top for box in boxes[count:])
    assert both.height == pytest.approx(first.height + 3.0 + second.height)


def test_fitted_text_is_no_wider_than_its_place():
    long = Text((0.0, 0.0), "6'7\" white EPS from the second yard, with basswood", 2.5)
    short = fitted(long, 20.0)
    assert short.setting().width <= 20.0
    assert short.words.endswith("…")
    assert fitted(long, 500.0) is long


def test_dimension_arrows_touch_what_is_measured():
    drawing = dimension((10.0, 0.0), (50.0, 30.0), "50", 8.0)
    tips = [item.points[0] for item in drawing.items if isinstance(item, Polygon)]
    gaps = [tip @ [-0.6, 0.8] for tip in tips]
    assert [tip @ [0.8, 0.6] for tip in tips] == pytest.approx([8.0, 58.0])
    assert gaps == pytest.approx([-6.0 + 8.0] * 2)


@pytest.mark.parametrize(
    "drawing",
    [
        horizontal_dimension((0.0, 0.0), (40.0, 5.0), "40", -10.0),
        horizontal_dimension((40.0, 5.0), (0.0, 0.0), "40", -10.0),
        vertical_dimension((0.0, 0.0), (5.0, 40.0), "40", -10.0),
        dimension((40.0, 0.0), (0.0, 0.0), "40", 8.0),
    ],
)
def test_numbers_read_from_below_or_from_the_right(drawing):
    (number,) = texts(drawing)
    assert -1.6 < (number.angle + 3.2) % 6.2832 - 3.2 < 1.6


def test_a_short_dimension_has_its_arrows_outside_and_its_number_beside():
    drawing = horizontal_dimension((0.0, 0.0), (3.0, 0.0), "3 1/8", -10.0)
    (number,) = texts(drawing)
    assert number.at[0] > 3.0 + ARROW_LENGTH
    tips = sorted(item.points[0][0] for item in drawing.items if isinstance(item, Polygon))
    backs = sorted(item.points[1][0] for item in drawing.items if isinstance(item, Polygon))
    assert tips == pytest.approx([0.0, 3.0])
    assert backs == pytest.approx([-ARROW_LENGTH, 3.0 + ARROW_LENGTH])


def test_a_leader_points_at_its_target():
    heads = [item for item in leader((5.0, 5.0), (20.0, 15.0), "turn").items if isinstance(item, Polygon)]
    assert heads[0].points[0].tolist() == pytest.approx([5.0, 5.0])


def test_names_on_a_ladder_do_not_touch():
    rungs = [Rung(x, f"{x} from tail") for x in (0.0, 3.0, 6.0, 30.0, 33.0, 90.0)]
    boxes = [text.box() for text in texts(station_ladder(rungs, 0.0))]
    assert len(boxes) == 6
    assert not any(a.meets(b) for index, a in enumerate(boxes) for b in boxes[index + 1 :])


@pytest.mark.parametrize(
    ("bar", "length"), [(millimetre_bar((3.0, 4.0)), 100.0), (inch_bar((3.0, 4.0)), 101.6)]
)
def test_scale_bars_are_as_long_as_they_say(bar, length):
    stops = [i.points for i in bar.items if isinstance(i, Polyline) and i.points[0][0] == i.points[1][0]]
    assert [stop[0][0] for stop in stops] == pytest.approx([3.0, 3.0 + length], abs=1e-9)
    fields = [item.box() for item in bar.items if isinstance(item, Polygon)]
    assert max(box.right for box in fields) - min(box.left for box in fields) == pytest.approx(length)


@pytest.mark.parametrize(
    ("cell", "whole"),
    [
        ("2 3/4", "2"),
        ("3/4", ""),
        ("12.5", "12"),
        ("101 mm", "101"),
        ("6'2 1/4\"", "6'2"),
        ("-3.5", "-3"),
        ("–", ""),
    ],
)
def test_the_whole_part_of_a_figure(cell, whole):
    assert whole_part(cell) == whole


def test_figures_in_a_column_stand_on_their_whole_numbers():
    block = table([Column("thick", 30.0)], [["2 3/4"], ["12"], ["5/8"], ["1 15/16"]])
    cells = {text.words: text for text in texts(block.drawing)}
    ends = [
        text.at[0] + line_width(whole_part(words), Face.FIGURES, text.height)
        for words, text in cells.items()
        if words != "thick"
    ]
    assert ends == pytest.approx([ends[0]] * 4)
    assert all(text.box().right <= 30.0 for text in cells.values())


def test_a_table_has_a_box_for_every_reading_and_keeps_to_its_width():
    columns = [Column("station", 30.0, Aligned.WORDS), Column("read", 20.0, Aligned.WRITE)]
    block = table(columns, [["12 from tail", ""], ["a name much too long for its column to hold", ""]])
    boxes = [item for item in block.drawing.items if isinstance(item, Polygon) and item.pen is Pen.CUT]
    assert len(boxes) == 2
    box = block.drawing.box()
    assert (box.left, box.right) == pytest.approx((0.0, 50.0), abs=0.5)
    assert box.bottom == pytest.approx(-block.height)


def test_figures_too_wide_for_their_column_leave_their_neighbours_alone():
    rows = [("7", "1879.6 mm to 2057.4 mm", "12.5"), ("12", "2 3/4", "9")]
    drawn = texts(table([Column("a", 12.0), Column("lengths", 25.0), Column("b", 14.0)], rows).drawing)
    columns = {0: (0.0, 12.0), 1: (12.0, 37.0), 2: (37.0, 51.0)}
    for row in rows:
        for index, cell in enumerate(row):
            (box,) = [text.box() for text in drawn if text.words == cell]
            low, high = columns[index]
            assert low <= box.left < box.right <= high, cell
