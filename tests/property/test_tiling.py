"""Cutting into pages loses nothing: every point of a drawing is in a tile, at its place."""

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.papers.drawing import Clip, Drawing, Polyline, Text, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_clip import clipped_line
from foamwright.papers.style import Pen
from foamwright.papers.tiling import OVERLAP, Paper, tiled

coordinate = st.floats(-700.0, 700.0).map(lambda value: round(value, 3))
points = st.lists(st.tuples(coordinate, coordinate), min_size=2, max_size=6)


def length(rows: np.ndarray) -> float:
    return float(np.hypot(*np.diff(rows, axis=0).T).sum())


def distance(point: np.ndarray, rows: np.ndarray) -> float:
    along = np.diff(rows, axis=0)
    square = np.maximum((along**2).sum(axis=1), 1e-300)
    share = np.clip(((point - rows[:-1]) * along).sum(axis=1) / square, 0.0, 1.0)
    return float(np.hypot(*(point - rows[:-1] - share[:, None] * along).T).min())


@settings(max_examples=60, derandomize=True, deadline=None)
@given(points, st.sampled_from(Paper))
def test_every_point_of_a_line_is_drawn_on_some_tile(rows: list[tuple[float, float]], paper: Paper) -> None:
    drawing = line(rows, Pen.OUTLINE)
    (tiling,) = tiled([drawing], paper)
    array = np.array(rows)
    shares = np.linspace(0.0, 1.0, 15)[:, None]
    probes = np.concatenate([a + shares * (b - a) for a, b in pairwise(array)])
    drawn = [
        item.points for tile in tiling.tiles for item in tile.drawing.items if isinstance(item, Polyline)
    ]
    if length(array) > 0.0:
        assert max(min(distance(probe, piece) for piece in drawn) for probe in probes) < 1e-6


@settings(max_examples=60, derandomize=True, deadline=None)
@given(points, st.sampled_from(Paper))
def test_nothing_is_drawn_outside_its_window_and_neighbours_overlap(
    rows: list[tuple[float, float]], paper: Paper
) -> None:
    (tiling,) = tiled([line(rows, Pen.OUTLINE)], paper)
    windows = {tile.place: tile.window for tile in tiling.tiles}
    for tile in tiling.tiles:
        assert all(tile.window.holds(item.box(), 1e-6) for item in tile.drawing.items)
        neighbour = windows.get(tile.place.right)
        if neighbour:
            assert abs(tile.window.right - neighbour.left - OVERLAP) < 1e-9


@settings(max_examples=40, derandomize=True, deadline=None)
@given(coordinate, coordinate, st.sampled_from(Paper))
def test_lettering_stands_whole_on_some_tile_or_every_tile_shows_its_part(
    x: float, y: float, paper: Paper
) -> None:
    frame = line([(-900, -400), (900, -400), (900, 400)], Pen.OUTLINE)
    label = Text((x, y), "12 from tail, half 9 1/4", 3.5)
    (tiling,) = tiled([frame + Drawing((label,))], paper)
    whole = [tile for tile in tiling.tiles if label in tile.drawing.items]
    assert all(tile.window.holds(label.box()) for tile in whole)
    if not whole:
        parts = [tile for tile in tiling.tiles if Clip(tile.window, (label,)) in tile.drawing.items]
        assert len(parts) >= 2
        left, right = min(p.window.left for p in parts), max(p.window.right for p in parts)
        assert left <= label.box().left
        assert label.box().right <= right


@settings(max_examples=40, derandomize=True, deadline=None)
@given(coordinate, coordinate, st.sampled_from(Paper))
def test_a_narrow_label_always_stands_whole_on_some_tile(x: float, y: float, paper: Paper) -> None:
    frame = line([(-900, -400), (900, -400), (900, 400)], Pen.OUTLINE)
    label = Text((x, y), "3/4", 3.5)
    assert max(label.box().width, label.box().height) < OVERLAP
    (tiling,) = tiled([frame + Drawing((label,))], paper)
    assert any(label in tile.drawing.items for tile in tiling.tiles)


@settings(max_examples=100, derandomize=True, deadline=None)
@given(points, coordinate, coordinate)
def test_a_line_cut_by_a_window_and_its_outside_is_as_long_as_before(
    rows: list[tuple[float, float]], x: float, y: float
) -> None:
    array = np.array(rows)
    far = 1e4
    parts = [Box(-far, -far, x, far), Box(x, -far, far, y), Box(x, y, far, far)]
    lengths = [sum(length(piece) for piece in clipped_line(array, part)) for part in parts]
    along_edge = any((a[0] == b[0] == x) or (a[1] == b[1] == y) for a, b in pairwise(rows))
    if not along_edge:
        assert abs(sum(lengths) - length(array)) < 1e-6
