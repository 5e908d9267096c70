"""Every check fires on a board made to deserve it, and on no other account."""

import math
from dataclasses import replace

import pytest

from foamwright.board.board import board_of
from foamwright.board.check_places import Places
from foamwright.board.checks import check_board, require_sound
from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Stretch, Term
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.board.numbers import BoardNumbers, DeckMark, Edge, RailMark, Tail, TailKind
from foamwright.errors import InputError
from foamwright.findings import Finding, Severity
from foamwright.units import INCH, System
from tests.boards import GROYNE, groyne, marks

LONG = replace(
    GROYNE,
    length=110 * INCH,
    outline=marks((0, 4), (12, 15), (98, 17), (110, 0)),
    wide=22.5 * INCH,
    wide_at=56 * INCH,
    rocker=marks((0, 2), (12, 1), (98, 1.3), (110, 3)),
    thickness=marks((0, 0.75), (12, 1.8), (98, 1.7), (110, 0.625)),
    thickest=3 * INCH,
    thickest_at=57 * INCH,
    rails=(RailMark(0.0, 0.4, INCH / 2, "all"),),
    bottom=(),
)


def found(numbers: BoardNumbers, system: System = System.INCH) -> dict[str, Finding]:
    findings = check_board(board_of(numbers), system)
    named = [(f.code, f.where.split(",")[0]) for f in findings]
    assert len(set(named)) == len(named), "the same finding at many stations is one line"
    return {f.code: f for f in findings}


def tips(nose: float, tail: float) -> BoardNumbers:
    return replace(GROYNE, thickness=marks((0, tail), (12, 1.6875), (64, 1.5), (76, nose)))


@pytest.mark.parametrize("numbers", [GROYNE, LONG])
def test_usual_boards_raise_nothing(numbers: BoardNumbers) -> None:
    assert check_board(board_of(numbers)) == ()
    require_sound(board_of(numbers))


@pytest.mark.parametrize("tail", [5 / 8, 3 / 4])
def test_usual_tips_raise_nothing(tail: float) -> None:
    # Common practice, no source: tail tips of 5/8 in (performance) to 3/4 in (small waves), noses of 1/2 in.
    assert "tip-thin" not in found(tips(1 / 2, tail))


@pytest.mark.parametrize(
    ("nose", "tail", "where"), [(15 / 32, 5 / 8, "nose tip"), (1 / 2, 19 / 32, "tail tip")]
)
def test_thinner_tips_are_warned_of(nose: float, tail: float, where: str) -> None:
    thin = found(tips(nose, tail))["tip-thin"]
    assert (thin.where, thin.severity) == (where, Severity.WARNING)
    assert "32 in thick" in thin.sentence
    require_sound(board_of(tips(nose, tail)))


def test_a_tip_of_no_foam_stops() -> None:
    hopeless = board_of(tips(1 / 16, 5 / 8))
    assert check_board(hopeless)[0].severity is Severity.STOP
    with pytest.raises(InputError, match=r"Groyne, nose tip: The nose tip is 1/16 in thick"):
        require_sound(hopeless)


def test_metric_sentences() -> None:
    thin = found(tips(7 / 16, 5 / 8), System.MM)["tip-thin"]
    assert thin.sentence == "The nose tip is 11.1 mm thick; under 12.7 mm it breaks easily."
    assert thin.measured == pytest.approx(7 / 16 * INCH)
    assert thin.limit == INCH / 2


def test_two_thin_tips_are_two_findings() -> None:
    assert [f.where for f in check_board(board_of(tips(0.4, 0.5)))] == ["nose tip", "tail tip"]


def test_a_hollow_foil_is_told_with_its_range() -> None:
    pulled = replace(GROYNE, thickness=marks((0, 0.625), (12, 1.6875), (64, 0.8), (76, 0.5)))
    bump = found(pulled)["curve-bump"]
    assert bump.where.startswith("foil, ")
    assert bump.where.endswith(" in from nose")
    assert bump.measured is not None
    assert bump.measured > INCH / 64


def test_a_pulled_tail_is_told() -> None:
    pulled = replace(GROYNE, outline=marks((0, 6), (12, 8), (64, 12.125), (76, 0)))
    assert found(pulled)["curve-bump"].where.startswith("outline, ")


def test_hollows_at_both_ends_are_one_finding() -> None:
    pulled = replace(GROYNE, thickness=marks((0, 0.625), (12, 0.85), (64, 0.8), (76, 0.5)))
    where = found(pulled)["curve-bump"].where
    assert "from tail and " in where
    assert where.endswith("from nose")


def test_a_straight_rocker_is_told() -> None:
    straight = replace(LONG, rocker=marks((0, 2), (12, 1.0), (40, 0.0), (70, 0.0), (98, 1.0), (110, 2.9)))
    flat = found(straight)["curve-flat"]
    assert flat.severity is Severity.NOTE
    assert flat.where.startswith("rocker, ")
    assert flat.measured is not None
    assert flat.measured >= 30 * INCH


def test_a_kink_is_told() -> None:
    kinked = replace(
        GROYNE,
        rocker=marks((0, 2.125), (12, 0.85), (44, 0.04), (52, 0.16), (55, 0.52), (64, 1.95), (76, 4.0)),
    )
    tight = found(kinked)["curve-tight"]
    assert tight.measured is not None
    assert tight.measured > 2.5
    assert tight.where.startswith("rocker, 2")


@pytest.mark.parametrize(
    ("code", "rocker"),
    [
        ("rocker-excess", ((0, 2.125), (12, 0.85), (64, 2.6), (76, 7.0))),
        ("rocker-excess", ((0, 3.75), (12, 1.5), (64, 1.9), (76, 4.75))),
        ("rocker-low", ((0, 2.125), (12, 0.85), (64, 1.0), (76, 2.5))),
        ("rocker-flat", ((0, 0.5), (12, 0.25), (64, 1.9), (76, 4.75))),
        ("rocker-sudden", ((0, 2.125), (12, 0.85), (64, 0.9), (76, 4.75))),
    ],
)
def test_rocker(code: str, rocker: tuple[tuple[float, float], ...]) -> None:
    assert code in found(replace(GROYNE, rocker=marks(*rocker)))


def test_the_long_boards_three_inch_nose_is_no_low_rocker() -> None:
    assert "rocker-low" not in found(LONG)


@pytest.mark.parametrize(("code", "at"), [("thick-aft", 34), ("thick-forward", 46)])
def test_thickest_point(code: str, at: float) -> None:
    off = found(replace(GROYNE, thickest_at=at * INCH))[code]
    assert off.where == ("34 in from tail" if at < 38 else "30 in from nose")
    assert off.measured == pytest.approx(abs(at - 38) * INCH)


def test_foil_that_falls_at_the_last() -> None:
    late = replace(GROYNE, thickness=marks((0, 0.625), (12, 1.6875), (64, 2.1), (76, 0.5)))
    assert found(late)["thickness-flow"].where == "foil, 0 to 12 in from nose"


def test_odd_volume() -> None:
    # Rails like knives: a crown of an inch that falls over two fifths of the width.
    deck = (DeckMark(38 * INCH, INCH, 4 * INCH, "centre", fullness=0.05),)
    thin = marks((0, 0.625), (12, 1.1), (64, 1.0), (76, 0.5))
    knife = replace(
        GROYNE, rails=(RailMark(0.0, 0.5, 2 * INCH, "all"),), deck=deck, thickness=thin, bottom=()
    )
    assert "little" in found(knife)["volume-odd"].sentence
    full = marks((0, 2.2), (12, 2.4), (64, 2.4), (76, 2.2))
    box = replace(GROYNE, deck=(DeckMark(38 * INCH, 0.0, INCH / 8, "centre"),), thickness=full, bottom=())
    assert "much" in found(box)["volume-odd"].sentence


@pytest.mark.parametrize(("code", "at"), [("wide-aft", 31), ("wide-forward", 46)])
def test_wide_point(code: str, at: float) -> None:
    assert found(replace(GROYNE, wide_at=at * INCH))[code].severity is Severity.NOTE


def test_sharp_corners() -> None:
    assert "tail-corner" in found(replace(GROYNE, tail=Tail(TailKind.SQUARE, INCH / 16)))
    assert "tail-corner" not in found(replace(GROYNE, tail=Tail(TailKind.SQUARE, INCH / 4)))


def test_thin_rails_towards_the_tail() -> None:
    domed = replace(GROYNE, deck=(DeckMark(38 * INCH, INCH, 4 * INCH, "centre"),))
    thin = found(domed)["rail-thin"]
    assert thin.measured is not None
    assert thin.measured < INCH / 2
    assert "from tail" in thin.where


@pytest.mark.parametrize(("edge", "warned"), [(Edge.SOFT, False), (Edge.HARD, True)])
def test_a_hard_edge_in_the_nose(edge: Edge, warned: bool) -> None:
    rails = (RailMark(0.0, 0.2, 0.0, "all", edge),)
    findings = found(replace(GROYNE, rails=rails))
    assert ("edge-hard-nose" in findings) is warned
    assert not warned or "nose" in findings["edge-hard-nose"].where


def test_a_tuck_wider_than_the_board_bears() -> None:
    rails = (*GROYNE.rails[:1], RailMark(12 * INCH, 0.4, 3 * INCH, "12 from tail"))
    wide = found(replace(GROYNE, rails=rails))["tuck-wide"]
    assert wide.limit == pytest.approx(0.3 * 14.875 / 2 * INCH, rel=1e-9)
    assert wide.where == "rails, 12 in from tail"


def test_a_tuck_wider_than_the_half_width_and_a_steep_edge_are_refused_at_once() -> None:
    rails = (
        RailMark(12 * INCH, 0.4, 8 * INCH, "12 from tail"),
        RailMark(38 * INCH, 0.2, INCH, "centre", Edge.TUCKED, math.radians(60.0)),
    )
    with pytest.raises(InputError, match="more than the half-width") as caught:
        board_of(replace(GROYNE, rails=rails))
    assert len(caught.value.problems) == 2
    with pytest.raises(InputError, match="so steep an edge needs a higher apex or less tuck"):
        board_of(replace(GROYNE, rails=rails[1:]))


def test_a_crown_too_round_for_its_roll() -> None:
    # Thin, domed to the utmost, high apex: the roll would have to pass below it.
    thin = replace(
        GROYNE,
        thickest=1.75 * INCH,
        thickness=marks((0, 0.625), (12, 1.25), (64, 1.125), (76, 0.5)),
        rails=(RailMark(0.0, 0.9, INCH / 2, "all"),),
        deck=(DeckMark(38 * INCH, INCH, 4 * INCH, "centre"),),
        bottom=(),
    )
    assert "deck-steep" in found(thin)
    assert "deck-steep" not in found(GROYNE)


WHOLE = Stretch(58 * INCH, 50 * INCH, 20 * INCH, 12 * INCH)


@pytest.mark.parametrize(
    ("term", "code"),
    [
        (term_of("concave", WHOLE, depth=3 * INCH / 8), "contour-unusual"),
        (term_of("concave", WHOLE, depth=INCH / 8, width=6 * INCH), "contour-unusual"),
        (term_of("vee", WHOLE, depth=INCH), "contour-deep"),
        (term_of("chine", WHOLE, width=3 * INCH, angle=35.0), "chine-high"),
        (term_of("channels", WHOLE, depth=INCH / 8, count=4.0, pitch=2.1 * INCH), "channels-land"),
        (term_of("channels", WHOLE, depth=INCH / 8, count=8.0), "channels-outside"),
    ],
)
def test_contours(term: Term, code: str) -> None:
    assert code in found(replace(GROYNE, bottom=(term,)))


def test_channels_into_a_fin_box() -> None:
    term = term_of("channels", Stretch(28 * INCH, 21 * INCH, 0.0, 0.0), depth=INCH / 8, count=4.0)
    near = replace(GROYNE, bottom=(term,), fins=usual_fins(Layout.THREE, list(GROYNE.outline)))
    box = found(near)["channels-box"]
    assert box.limit == INCH / 2


def test_gravest_first() -> None:
    several = replace(tips(1 / 16, 0.5), wide_at=46 * INCH)
    assert [f.severity for f in check_board(board_of(several))] == [
        Severity.STOP,
        Severity.WARNING,
        Severity.NOTE,
    ]


def test_places_are_named_from_the_nearer_tip() -> None:
    places = Places(76 * INCH, System.INCH)
    assert places.at(0.0) == "tail tip"
    assert places.at(76 * INCH) == "nose tip"
    assert places.at(12.2 * INCH) == "12 in from tail"
    assert places.between(12 * INCH, 18 * INCH) == "12 to 18 in from tail"
    assert places.between(58 * INCH, 64 * INCH) == "12 to 18 in from nose"
    assert places.between(18 * INCH, 64 * INCH) == "18 in from tail to 12 in from nose"
    assert places.between(12 * INCH, 12.1 * INCH) == "12 in from tail"
    assert Places(1.93, System.MM).between(0.301, 0.449) == "300 to 450 mm from tail"


def test_findings_are_the_same_each_time() -> None:
    assert check_board(groyne()) == check_board(board_of(GROYNE))
