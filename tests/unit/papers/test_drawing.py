import math

import numpy as np
import pytest

from foamwright.papers.drawing import Arc, Clip, Drawing, Polyline, Text, hatch, line, on_paper, shape
from foamwright.papers.drawing_box import Affine, Box
from foamwright.papers.drawing_clip import clipped_polygon, cut_to
from foamwright.papers.drawing_hatch import hatch_lines
from foamwright.papers.style import Anchor, Face, Hatching, Pen, Tone

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def area(points):
    x, y = np.asarray(points).T
    return 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def test_moving_and_scaling_return_new_drawings_and_leave_lettering_its_size():
    drawing = line([(0, 0), (10, 5)], Pen.OUTLINE) + Drawing((Text((4.0, 2.0), "2 3/4", 3.5),))
    scaled = drawing.scaled(2.0, 3.0).moved(1.0, 1.0)
    assert scaled.items[0].points.tolist() == [[1, 1], [21, 16]]
    assert (scaled.items[1].at, scaled.items[1].height) == ((9.0, 7.0), 3.5)
    assert drawing.items[0].points.tolist() == [[0, 0], [10, 5]]


def test_points_of_a_drawing_cannot_be_written():
    with pytest.raises(ValueError, match="read-only"):
        line([(0, 0), (1, 1)], Pen.THIN).items[0].points[0, 0] = 5.0


@pytest.mark.parametrize("flip", ["mirrored", "flipped"])
def test_mirrored_lettering_stays_readable(flip):
    text = Text((10.0, 5.0), "nose", 3.5, Face.LABEL, Anchor.LEFT)
    turned = getattr(Drawing((text,)), flip)().items[0]
    assert math.cos(turned.angle) == pytest.approx(1.0)
    assert turned.anchor is (Anchor.RIGHT if flip == "mirrored" else Anchor.LEFT)


@pytest.mark.parametrize("by", [Affine(-1.0), Affine(d=-1.0), Affine(0.6, 0.8, -0.8, 0.6, 3.0, 4.0)])
def test_an_arc_and_its_points_move_alike(by):
    arc = Arc((2.0, 1.0), 5.0, Pen.THIN, 0.3, 1.9)
    moved = arc.mapped(by)
    assert isinstance(moved, Arc)
    ends = [tuple(point) for point in by(arc.points)[[0, -1]]]
    found = [tuple(point) for point in moved.points[[0, -1]]]
    assert sorted(np.round(found, 9).tolist()) == sorted(np.round(ends, 9).tolist())


def test_an_exaggerated_circle_becomes_the_line_of_its_points():
    stretched = Arc((0.0, 0.0), 5.0, Pen.THIN).mapped(Affine(d=3.0))
    assert isinstance(stretched, Polyline)
    assert stretched.box().height == pytest.approx(30.0, abs=0.05)


def test_a_circle_is_drawn_within_its_chord_error():
    middles = (lambda p: (p[1:] + p[:-1]) / 2)(Arc((0.0, 0.0), 50.0, Pen.THIN).points)
    assert 50.0 - np.hypot(*middles.T).min() < 0.0051


def test_the_box_of_text_holds_its_width_at_any_angle():
    text = Text((0.0, 0.0), "12 from tail", 3.5, Face.LABEL, Anchor.LEFT, math.pi / 2)
    assert text.box().height == pytest.approx(text.setting().width)
    assert on_paper(text, 1.0).box().height == pytest.approx(text.setting().width + 2.0)


def test_box_of_pens_leaves_other_lines_out():
    drawing = line([(0, 0), (10, 0)], Pen.OUTLINE) + line([(-5, -5), (20, 20)], Pen.DIMENSION)
    assert drawing.box_of(Pen.OUTLINE) == Box(0.0, 0.0, 10.0, 0.0)


@pytest.mark.parametrize("hatching", Hatching)
def test_hatching_covers_its_area_at_its_spacing(hatching):
    ruling = hatching.value
    big = [(0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0)]
    lines = hatch_lines(hatch(hatching, big).items[0])
    length = sum(float(np.hypot(*np.diff(piece.points, axis=0)[0])) for piece in lines)
    # Total length of parallel lines times their spacing is the area, for each direction.
    assert length * ruling.spacing / len(ruling.angles) == pytest.approx(200.0 * 150.0, rel=0.01)


def test_no_two_hatchings_look_alike():
    assert len({(h.value.angles, h.value.spacing) for h in Hatching}) == len(Hatching)
    assert Hatching.BOTTOM.value.angles != Hatching.DECK.value.angles
    assert Hatching.BOTTOM.value.spacing > 1.5 * Hatching.DECK.value.spacing


def test_a_hole_is_not_hatched():
    hole = [(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)]
    for piece in hatch_lines(hatch(Hatching.DECK, SQUARE, hole).items[0]):
        middle = piece.points.mean(axis=0)
        assert not (4.0 < middle[0] < 6.0 and 4.0 < middle[1] < 6.0)


def test_cutting_a_filled_shape_keeps_its_area_and_inks_no_window_edge():
    cut = cut_to(shape(SQUARE, Pen.OUTLINE, Tone.PAPER), Box(5.0, 5.0, 20.0, 20.0))
    fill, *edges = cut.items
    assert area(fill.points) == pytest.approx(25.0)
    assert fill.pen is None
    inked = sum(float(np.hypot(*np.diff(edge.points, axis=0).T).sum()) for edge in edges)
    assert inked == pytest.approx(10.0)


def test_cutting_to_a_window_that_splits_a_line_gives_its_parts():
    zigzag = line([(0, 0), (5, 10), (10, 0)], Pen.OUTLINE)
    pieces = cut_to(zigzag, Box(0.0, 2.0, 10.0, 6.0)).items
    assert [piece.points.tolist() for piece in pieces] == [[[1, 2], [3, 6]], [[7, 6], [9, 2]]]


def test_text_is_kept_whole_or_left_out():
    text = Drawing((Text((9.0, 5.0), "nose"),))
    assert cut_to(text, Box(0.0, 0.0, 10.0, 10.0)).items == ()
    assert cut_to(text, Box(0.0, 0.0, 40.0, 10.0)) == text


def test_a_window_inside_a_window_is_cut_by_both():
    inner = Drawing((Clip(Box(0.0, 0.0, 6.0, 10.0), line([(0, 5), (10, 5)], Pen.THIN).items),))
    (piece,) = cut_to(inner, Box(4.0, 0.0, 20.0, 10.0)).items
    assert piece.points.tolist() == [[4, 5], [6, 5]]


def test_a_polygon_outside_is_gone():
    assert len(clipped_polygon(np.array(SQUARE), Box(20.0, 20.0, 30.0, 30.0))) == 0
