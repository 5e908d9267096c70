"""Wire paths: real offsets, corners, limits, refusals, and the part that the program leaves."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.bay.machine import Block, Carriages, ControllerWords, Kerf, WireAxes, WireMachine
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.errors import FaultError, InputError
from foamwright.making import wire_cut
from foamwright.making.closecut import close_cut
from foamwright.making.rs274 import run_program
from foamwright.making.wire_cautions import WIRE_CAUTIONS
from foamwright.making.wire_cut import Wanted, wire_cuts
from foamwright.making.wire_offset import Edge, corner, offset_edge, self_crossing
from foamwright.making.wire_parts import Taper
from foamwright.making.wire_path import Part, thinned, wire_path
from foamwright.making.wire_program import carriage_points, path_of
from foamwright.making.wire_sweep import swept

APART = WireMachine(carriages=Carriages.APART)


def circle(radius, start, stop, count=721):
    angle = np.linspace(start, stop, count)
    return Edge("arc", radius * np.stack([np.cos(angle), np.sin(angle)], axis=1))


def test_the_offset_of_a_circle_is_a_circle():
    """Walked clockwise the offcut lies outside (on the left): the radius grows by the offset."""
    moved = offset_edge(circle(0.5, np.pi, 0.0), np.full(721, 0.001))
    assert np.hypot(*moved.T) == pytest.approx(np.full(721, 0.501), abs=1e-8)


def test_a_hollow_tighter_than_the_wire_is_refused():
    with pytest.raises(InputError, match="cross itself"):
        offset_edge(circle(0.0005, 0.0, np.pi), np.full(721, 0.0008))


def test_a_hollow_wider_than_the_wire_is_not():
    moved = offset_edge(circle(0.002, 0.0, np.pi), np.full(721, 0.0008))
    assert np.hypot(*moved.T) == pytest.approx(np.full(721, 0.0012), abs=1e-7)


def test_an_inside_corner_is_refused():
    up = Edge("one", np.array([[0.0, 0.0], [1.0, 0.0]]))
    left = Edge("two", np.array([[1.0, 0.0], [1.0, 1.0]]))
    with pytest.raises(InputError, match="points inwards by 90 degrees"):
        corner((up, left), (0.001, 0.001), (0.01, 0.01))


def test_the_loop_at_a_corner_stays_in_line_with_both_edges():
    right = Edge("deck", np.array([[0.0, 0.0], [1.0, 0.0]]))
    down = Edge("end", np.array([[1.0, 0.0], [1.0, -1.0]]))
    out, back = corner((right, down), (0.001, 0.002), (0.01, 0.02))
    assert out == pytest.approx([1.01, 0.001])
    assert back == pytest.approx([1.002, 0.02])


def test_a_crossing_is_found_where_it_is():
    assert self_crossing(np.array([[0, 0], [2, 0], [2, 1], [1, 1], [1, -1.0]])) == pytest.approx([1, 0])
    assert self_crossing(np.array([[0, 0], [2, 0], [2, 1], [1, 1.0]])) is None


def test_thinning_keeps_within_its_tolerance():
    line = circle(3.0, 1.2, 1.9, 2001).points
    kept = line[thinned(line, 1e-5)]
    chords = np.interp(line[:, 0][::-1], kept[:, 0][::-1], kept[:, 1][::-1])[::-1]
    assert 100 < kept.shape[0] < 300
    assert np.max(np.abs(chords - line[:, 1])) < 1.2e-5


@pytest.mark.parametrize("taper", Taper)
@pytest.mark.parametrize("axes", WireAxes)
def test_the_program_leaves_the_part(cut, taper, axes):
    for one in wire_cuts(cut, replace(APART, axes=axes), Wanted(taper=taper)):
        assert one.sweep.worst < 5e-5, one.name


def test_one_carriage_needs_only_two_axes(cut, machine):
    profile, outline = wire_cuts(cut, machine)
    assert (profile.name, outline.name) == ("profile", "outline")
    assert profile.sweep.worst < 2e-5
    assert "G94" in profile.text
    assert not any(letter in profile.text.split("M0")[1] for letter in "ZAUV")
    assert profile.kerf == pytest.approx(0.0016)


def test_left_and_right_halves_are_mirror_images(cut):
    left, right, _ = wire_cuts(cut, APART, Wanted(taper=Taper.FALLING))
    assert (left.name, right.name) == ("profile-left", "profile-right")
    assert np.array_equal(left.path.near, right.path.far)
    assert left.part.tapered


def test_a_falling_deck_saves_foam_and_still_covers_the_board(cut, board):
    level, falling, *_ = (
        wire_cuts(cut, APART, Wanted(taper=taper))[0].part for taper in (Taper.LEVEL, Taper.FALLING)
    )
    deck = {share: falling.edges_at(share)[0] for share in (0.0, 0.4, 0.8)}
    x = deck[0.0][:, 0] - deck[0.0][0, 0] - cut.lay.slide
    inside = (x >= 0) & (x <= board.length)
    base = level.edges_at(0.0)[0][0, 1] - cut.high[0]
    for share, edge in deck.items():
        away = share * falling.depth
        half = board.half_width(x[inside])
        here = away <= half
        finished = board.deck(x[inside], np.full((int(inside.sum()), 1), away))[:, 0] + cut.lay.lift + base
        assert np.min((edge[inside, 1] - finished)[here]) > cut.allowances.deck - 2e-4
    area = [np.trapezoid(edge[:, 1], edge[:, 0]) for edge in deck.values()]
    level_area = np.trapezoid(level.edges_at(0.0)[0][:, 1], level.edges_at(0.0)[0][:, 0])
    assert np.mean(area) < level_area


def test_a_wrong_kerf_is_caught_by_the_simulated_cut(cut, machine):
    """The proof does not know how the path was made: told another kerf it sees the gouge."""
    profile = wire_cuts(cut, machine)[0]
    wider = Kerf(machine.kerf.feeds, tuple(w + 0.0004 for w in machine.kerf.widths))
    sweep = swept(profile.part, path_of(profile.text, machine, profile.path), wider)
    assert sweep.gouge == pytest.approx(0.0002, abs=5e-6)
    assert not sweep.holds


def test_a_program_that_misses_is_never_handed_out(cut, machine, monkeypatch):
    monkeypatch.setattr(wire_cut, "TOLERANCE", 1e-4)
    short = "G1 X1000 Y100\n"
    broken = wire_cut.program_text
    monkeypatch.setattr(
        wire_cut, "program_text", lambda *a: broken(*a).replace("M2\n", f"G1 X20 Y20 F300\n{short}M2\n")
    )
    with pytest.raises(FaultError, match="nothing was written"):
        wire_cuts(cut, machine)


def test_two_carriages_arrive_together_at_the_mean_feed(cut):
    profile = wire_cuts(cut, APART)[0]
    program = run_program(profile.text, "XYZA")
    fed = [move for move in program.moves if move.seconds is not None]
    assert sum(move.seconds for move in fed) == pytest.approx(60.0 * profile.path.minutes, rel=1e-4)
    steps = np.hypot(*np.diff(path_of(profile.text, APART, profile.path).near, axis=0).T)
    assert steps / [move.seconds for move in fed] == pytest.approx(np.full(len(fed), APART.feed), rel=0.03)


def test_the_header_says_units_set_up_and_cautions(cut, machine):
    for one in wire_cuts(cut, machine):
        head = one.text.split("M0")[0]
        assert "Units: millimetres" in head
        assert "Zero: tail end" in head
        said = head.replace(")\n(", " ")
        for caution in WIRE_CAUTIONS:
            assert caution.sentence in said


def test_the_wire_stays_off_the_bed(cut, machine):
    for one in wire_cuts(cut, machine):
        assert np.min(one.path.near[:, 1]) >= 0.0


def test_polyurethane_is_never_cut(board, machine):
    blank = close_cut(board, Foam(FoamFamily.PU, 35.0), Stringer("basswood", 0.003))
    with pytest.raises(InputError, match=r"never cut by hot wire.*isocyanates"):
        wire_cuts(blank, machine)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"blocks": (Block(height=0.1),)},
            r"its height of 100 mm is .* mm short.*\[\[block\]\] in the mach",
        ),
        ({"blocks": (Block(length=1.9),)}, "its length of 1900 mm is .* mm short"),
        ({"blocks": (Block(width=0.2),)}, "its width of 200 mm is .* mm short"),
        ({"along": 1.0}, r"too short for the profile.*\(along in the machine sheet"),
        ({"up": 0.1}, "too short for the profile"),
        ({"span": 0.3}, "of wire beyond its near end"),
        ({"kerf": Kerf((0.0055, 0.0059), (0.0016, 0.0015))}, "kerf was measured"),
        ({"slowest": 0.007}, "outside the machine's"),
    ],
)
def test_what_cannot_be_cut_is_said(cut, machine, change, words):
    with pytest.raises(InputError, match=words):
        wire_cuts(cut, replace(machine, **change))


def test_a_taper_needs_carriages_apart(cut, machine):
    with pytest.raises(InputError, match="cannot cut a taper"):
        wire_cuts(cut, machine, Wanted(taper=Taper.FALLING))


def test_an_unknown_block_is_named(cut, machine):
    with pytest.raises(InputError, match=r"block small: is not in the machine sheet. It can be usual"):
        wire_cuts(cut, machine, Wanted(block="small"))


def test_the_smallest_block_that_holds_it_is_taken(cut, machine):
    blocks = (Block("long", length=3.0), Block("short", length=2.1), Block("tiny", length=1.0))
    assert wire_cuts(cut, replace(machine, blocks=blocks))[0].block.name == "short"


def test_an_offset_that_crosses_itself_writes_nothing():
    """A neck narrower than the kerf, above a hollow that is wide enough for the wire."""
    angle = np.linspace(0.5 * np.pi + 0.1, 2.5 * np.pi - 0.1, 181)
    hollow = np.stack([0.5 + 0.005 * np.cos(angle), -0.01 + 0.005 * np.sin(angle)], axis=1)
    left, right = hollow[0, 0], hollow[-1, 0]
    assert right - left < 0.0016
    edge = Edge("deck", np.vstack([[0, 0], [left, 0], hollow, [right, 0], [1, 0]]))
    part = Part("profile", (edge,), (edge,), False, 0.3)
    with pytest.raises(InputError, match="cross"):
        wire_path(part, WireMachine(), 0.006, (-0.1, 1.1))


OWN = ControllerWords(
    heat_on=("M3 S800",),
    heat_off=("M5", "M106 P1"),
    heat_seconds=6.0,
    header=("G64 P0.05",),
    footer=("M9",),
    inches=True,
    park=(0.0, 0.3),
)


@pytest.mark.parametrize("carriages", Carriages)
def test_the_controllers_own_words_stand_round_the_cut_and_change_no_path(cut, carriages):
    plain = WireMachine(carriages=carriages)
    own = replace(plain, words=OWN)
    for bare, dressed in zip(wire_cuts(cut, plain), wire_cuts(cut, own), strict=True):
        lines = dressed.text.splitlines()
        first = next(i for i, line in enumerate(lines) if line.startswith("G1 "))
        last = max(i for i, line in enumerate(lines) if line.startswith("G1 "))
        assert lines[first - 2 : first] == ["M3 S800", "G4 P6"]
        assert lines[last + 1 : last + 3] == ["M5", "M106 P1"]
        assert lines[-3:] == ["M9", "M2", "%"]
        assert any(line.startswith("G17 G20 G90") for line in lines)
        again = path_of(dressed.text, own, dressed.path, dressed.riser)
        like = path_of(bare.text, plain, bare.path, bare.riser)
        # Three decimals of a millimetre in one program, five of an inch in the other.
        assert again.near == pytest.approx(like.near, abs=2e-6)
        axes = "XYZA" if carriages is Carriages.APART else "XY"
        parked = run_program(dressed.text, axes).moves[-1].to
        assert parked == pytest.approx([0.0, 300.0] * (len(axes) // 2), abs=1e-3)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("G0 X10", "moves the wire"),
        ("g20", "changes units"),
        ("M2", "stops the program"),
        ("M3 S", "not"),
        ("T1 W4", "W"),
    ],
)
def test_own_words_that_would_change_the_part_are_refused(cut, line, words):
    machine = WireMachine(words=ControllerWords(heat_on=(line,)))
    with pytest.raises(InputError, match=words):
        wire_cuts(cut, machine)


def test_an_end_of_the_wire_that_would_run_too_fast_is_refused(cut):
    machine = WireMachine(carriages=Carriages.APART)
    wanted = Wanted(taper=Taper.FALLING, feed=0.0085)
    made = wire_cuts(cut, machine, wanted)
    ends = [carriage_points(one.path, machine, one.riser) for one in made]
    fastest = max(
        float(np.max(np.hypot(*(np.diff(points[:, pair], axis=0).T)) / one.path.seconds))
        for one, points in zip(made, ends, strict=True)
        for pair in ([0, 1], [2, 3])
    )
    wire_cuts(cut, replace(machine, carriage_fastest=1.001 * fastest), wanted)
    with pytest.raises(InputError, match="Cut more slowly"):
        wire_cuts(cut, replace(machine, carriage_fastest=0.99 * fastest), wanted)
