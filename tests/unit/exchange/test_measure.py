"""Boards measured from noisy, holed scans in any pose come back as their own numbers."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.blank.blank import blank_of
from foamwright.blank.numbers import Foam, FoamFamily, Section
from foamwright.blank.sheet import read_stock
from foamwright.board.board import board_of
from foamwright.board.numbers import TailKind
from foamwright.board.sheet import board_from_text, board_sheet, read_board
from foamwright.errors import InputError
from foamwright.exchange.deviation import deviation_of, laid_on
from foamwright.exchange.scan_blank import blank_of_scan
from foamwright.exchange.scan_files import scan_of
from foamwright.exchange.scan_lines import lines_of
from foamwright.exchange.scan_measure import Ends, measure
from foamwright.exchange.scan_numbers import sheet_of
from foamwright.exchange.scan_pose import frame_of
from foamwright.exchange.scan_sections import section_at
from foamwright.exchange.solids import blank_body, board_body
from foamwright.units import INCH, Unit
from tests.scans import TORN

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
FOOT = 12 * INCH

WHOLE, FINE = replace(TORN, holes=0), (40, 30)
"""A tail is known by its tip: none is torn off, and it has the triangles that it has when exported."""


def stations(length):
    return np.array([0.0, FOOT, length / 2.0, length - FOOT, length])


@pytest.fixture(scope="module")
def scanned(board, posed):
    return posed(board_body(board), 3)


@pytest.fixture(scope="module")
def scan(scanned):
    return scanned.scan


@pytest.fixture(scope="module")
def measured(board, scan):
    return measure(scan, lambda _: board.low_at)


@pytest.fixture(scope="module")
def sheet(measured):
    return sheet_of(measured, "found", Unit.INCH)


@pytest.mark.parametrize("seed", [11, 12])
def test_the_pose_is_found_whatever_it_is(board, posed, seed):
    lying = posed(board_body(board), seed)
    frame = frame_of(lying.scan)
    found = frame.axes @ lying.rotation
    assert found[1] == pytest.approx([0.0, 1.0, 0.0], abs=3e-4)
    assert found[0, 0] > 0.999
    assert found[2, 2] > 0.999
    assert (frame.origin - lying.origin / 1000.0) @ frame.axes[1] == pytest.approx(0.0, abs=1e-4)


def test_length_widths_and_thickness_come_back_within_a_millimetre(board, measured):
    assert measured.length == pytest.approx(board.length, abs=0.001)
    x = stations(board.length)
    assert measured.thickness(x) == pytest.approx(board.thickness(x), abs=0.001)
    assert 2.0 * measured.half_width(x[1:-1]) == pytest.approx(2.0 * board.half_width(x[1:-1]), abs=0.001)


def test_rocker_comes_back_within_a_millimetre_and_a_half_at_the_tips(board, measured):
    x = stations(board.length)
    off = np.abs(measured.lines.bottom(x) - board.rocker(x))
    assert np.max(off[1:-1]) < 0.001
    assert np.max(off) < 0.0015


def test_against_its_own_sheet_it_lies_on_it(board, measured):
    laid = laid_on(measured, board)
    x = stations(board.length)
    assert laid.lines.bottom(x) == pytest.approx(board.rocker(x), abs=0.0006)
    deviation = deviation_of(laid, board)
    assert deviation.root_mean_square < 2e-4
    assert abs(deviation.worst) < 0.001
    assert np.nanmax(np.abs(deviation.width[1:-1])) < 0.0015


def test_the_map_shows_a_dent_and_only_there(board, scanned):
    """2 mm off the deck around the centre, to the left of the stringer."""
    points = scanned.level
    dent = (np.abs(points[:, 0] - 1.0) < 0.1) & (np.abs(points[:, 1] - 0.1) < 0.05) & (points[:, 2] > 0.03)
    points[dent, 2] -= 0.002
    laid = laid_on(measure(scanned.lying(points).scan, lambda _: board.low_at), board)
    deviation = deviation_of(laid, board)
    row, lane = np.unravel_index(np.nanargmin(deviation.deck), deviation.deck.shape)
    assert deviation.x[row] == pytest.approx(1.0, abs=0.06)
    assert abs(deviation.share[lane]) > 0.2
    assert deviation.deck[row, lane] == pytest.approx(-0.002, abs=0.0005)
    assert np.nanmax(np.abs(deviation.bottom)) < 0.001
    rows = deviation.csv().decode().splitlines()
    assert rows[0] == "face,x_mm,share,more_mm"
    assert len(rows) == 1 + deviation.deck.size * 2


def test_the_sheet_reads_back_and_is_the_board_again(board, sheet):
    again = board_of(board_from_text(board_sheet(sheet.numbers, Unit.INCH), "found.board.toml"))
    assert again.numbers == sheet.numbers
    assert again.numbers.tail.kind is TailKind.SQUARE
    assert again.numbers.tail.corner_radius == pytest.approx(board.numbers.tail.corner_radius, abs=0.004)
    assert again.outline.wide_at == pytest.approx(board.outline.wide_at, abs=0.015)
    assert again.mass.volume == pytest.approx(board.mass.volume, rel=0.02)
    x = np.linspace(0.1, board.length - 0.1, 51)
    assert again.thickness(x) == pytest.approx(board.thickness(x), abs=0.001)
    assert again.half_width(x) == pytest.approx(board.half_width(x), abs=0.001)


def test_stations_are_those_of_a_tape(measured, sheet):
    inch, metric = sheet.numbers.rocker, sheet_of(measured, "found", Unit.MM).numbers.rocker
    assert (inch[1].place, metric[1].place) == ("12 from tail", "300 mm from tail")
    marks = [64.0 * mark.value / INCH for mark in inch]
    assert marks == pytest.approx([round(mark) for mark in marks], abs=1e-6)


def test_exchanged_and_without_a_word_of_the_apex(scan, measured, board):
    """Nose for tail, level halfway: the board's own rocker from there, the other way round."""
    turned = measure(scan, ends=Ends.EXCHANGED)
    assert turned.frame.axes[1] == pytest.approx(-measured.frame.axes[1], abs=1e-3)
    assert turned.apex == pytest.approx(turned.length / 2.0)
    assert turned.lines.bottom(np.array([turned.apex]))[0] == pytest.approx(0.0, abs=1e-4)
    x, middle = stations(board.length), board.length / 2.0
    level = board.rocker(x) - board.rocker(middle) - board.rocker(middle, 1) * (x - middle)
    assert turned.lines.bottom(x)[::-1] == pytest.approx(level, abs=0.002)


@pytest.mark.parametrize(
    ("tail", "kind"),
    [
        ('tail_form = "swallow"\ntail_depth = 3\ntail = 7', TailKind.SWALLOW),
        ('tail_form = "pin"', TailKind.PIN),
        ('tail_form = "diamond"\ntail_depth = "2 1/2"\ntail = 5', TailKind.DIAMOND),
    ],
)
def test_tails_are_told_apart(posed, tail, kind):
    text = (DEMO / "groyne.board.toml").read_text()
    lines = [
        line
        for line in text.splitlines()
        if not line.startswith(("tail_form", "tail_corner", "tail = 5", 'tail = "5 1/2"'))
    ]
    at = next(i for i, line in enumerate(lines) if "[outline]" in line)
    lines[at + 1 : at + 1] = tail.split("\n")
    board = board_of(board_from_text("\n".join(lines), "tails.board.toml"))
    found = measure(posed(board_body(board), 5, WHOLE, FINE).scan, lambda _: board.low_at)
    numbers = sheet_of(found, "found", Unit.MM).numbers
    assert numbers.tail.kind is kind
    assert found.length == pytest.approx(board.length, abs=0.0015)
    x = stations(board.length)
    assert found.thickness(x) == pytest.approx(board.thickness(x), abs=0.0015)
    assert found.lines.bottom(x) == pytest.approx(board.rocker(x), abs=0.002)
    if kind in (TailKind.SWALLOW, TailKind.DIAMOND):
        assert numbers.tail.depth == pytest.approx(board.numbers.tail.depth, abs=0.004)
        assert numbers.outline[0].value == pytest.approx(board.numbers.outline[0].value, abs=0.006)


def test_a_blank_comes_back_too(posed):
    for numbers in read_stock(DEMO / "harbour.stock.toml"):
        if numbers.id not in ("Q-6-8-2.75", "M-6-9"):
            continue
        blank = blank_of(numbers)
        found = blank_of_scan(
            posed(blank_body(blank), 7, steps=(160, 40)).scan,
            "found",
            Foam(FoamFamily.EPS, 20.0),
            Unit.INCH,
            float(blank_apex(blank)),
        )
        assert found.section is numbers.section
        assert found.length == pytest.approx(blank.length, abs=0.0015)
        x = np.array([mark.x for mark in found.rocker])
        assert [m.value for m in found.rocker] == pytest.approx(blank.bottom(x), abs=0.0015)
        thick = np.interp(x, [m.x for m in found.thickness], [m.value for m in found.thickness])
        assert thick[1:-1] == pytest.approx(blank.thickness(x[1:-1]), abs=0.0015)
        if found.section is Section.DOMED:
            middle = found.dome[len(found.dome) // 2]
            assert middle.value == pytest.approx(float(blank.edge_share(np.array(middle.x))), abs=0.06)


def blank_apex(blank):
    x = np.linspace(0.0, blank.length, 4001)
    return x[np.argmin(blank.bottom(x))] / blank.length


def test_half_a_board_is_no_board(board, scanned):
    z = scanned.level[scanned.faces][:, :, 2]
    deck = np.all(z > 0.035 + 0.02 * np.abs(scanned.level[scanned.faces][:, :, 0] - 0.95), axis=1)
    with pytest.raises(InputError, match=r"lacks the|shows hardly any|not symmetric"):
        measure(scan_of(scanned.vertices, scanned.faces[deck], Unit.MM, "deck"))


def test_something_else_is_no_board():
    """A box of a board's length: no rocker, no rails that vanish at the tips."""
    import trimesh

    box = trimesh.creation.box(extents=(2000.0, 1500.0, 1200.0)).subdivide_to_size(60.0)
    scan = scan_of(np.array(box.vertices), np.array(box.faces), Unit.MM, "box")
    with pytest.raises(InputError, match=r"no board is|lacks|hardly any"):
        sheet_of(measure(scan), "box", Unit.MM)


def test_the_same_scan_gives_the_same_numbers(scan, board, measured, sheet):
    points, x = frame_of(scan).points(scan.centres), 0.4
    points = points[np.argsort(points[:, 0], kind="stable")]
    once, again = (section_at(points, lines_of(points), x, 0.009) for _ in range(2))
    assert once == again
    assert sheet_of(measured, "found", Unit.INCH).numbers == sheet.numbers


def test_a_longboard(posed):
    board = board_of(read_board(DEMO / "breakwater.board.toml"))
    found = measure(posed(board_body(board), 9).scan, lambda _: board.low_at)
    x = stations(board.length)
    assert found.length == pytest.approx(board.length, abs=0.001)
    assert np.max(np.abs(found.lines.bottom(x) - board.rocker(x))) < 0.0015
    assert found.thickness(x) == pytest.approx(board.thickness(x), abs=0.001)
    assert 2.0 * found.half_width(x[1:-1]) == pytest.approx(2.0 * board.half_width(x[1:-1]), abs=0.001)
