"""A board made solid."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.numbers import BoardNumbers, Edge, Tail, TailKind
from foamwright.errors import InputError
from foamwright.shape.solid import volume
from foamwright.shape.surface import surface_area
from foamwright.stations import Mark
from foamwright.units import INCH, System, parse_length
from tests.boards import GROYNE, groyne, marks
from tests.trade import random_board

X = np.linspace(0.0, GROYNE.length, 2001)


def scaled(numbers: BoardNumbers, k: float) -> BoardNumbers:
    def grown(given: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple(Mark(m.x * k, m.value * k, m.place) for m in given)

    def times(x: float | None) -> float | None:
        return None if x is None else x * k

    tail = numbers.tail
    return replace(
        numbers,
        length=numbers.length * k,
        outline=grown(numbers.outline),
        wide=numbers.wide * k,
        wide_at=times(numbers.wide_at),
        tail=Tail(tail.kind, tail.corner_radius * k, tail.depth * k),
        rocker=grown(numbers.rocker),
        low_at=times(numbers.low_at),
        thickness=grown(numbers.thickness),
        thickest=numbers.thickest * k,
        thickest_at=times(numbers.thickest_at),
        rails=tuple(replace(r, x=r.x * k, tuck=r.tuck * k) for r in numbers.rails),
        deck=tuple(replace(d, x=d.x * k, crown=d.crown * k, roll=d.roll * k) for d in numbers.deck),
        bottom=tuple(
            replace(
                term,
                numbers={key: value * k for key, value in term.numbers.items()},
                stretch=term.stretch.moved(*(x * k for x in term.stretch.marks)),
            )
            for term in numbers.bottom
        ),
    )


def test_every_number_is_met() -> None:
    board = groyne()
    for given, curve in ((GROYNE.rocker, board.rocker), (GROYNE.thickness, board.thickness)):
        assert max(abs(float(curve(m.x)) - m.value) for m in given) < 1e-14
    assert float(board.thickness(GROYNE.thickest_at)) == pytest.approx(GROYNE.thickest, abs=1e-15)
    assert max(abs(2 * float(board.outline.side(np.array(m.x))) - m.value) for m in GROYNE.outline) < 1e-14


def test_rocker_touches_the_level_line_once_and_is_never_hollow() -> None:
    board = groyne()
    assert float(board.rocker(board.low_at)) == pytest.approx(0.0, abs=1e-15)
    assert np.min(board.rocker(X)) >= -1e-15
    assert np.min(board.rocker(X, 2)) >= 0.0


def test_deck_is_rocker_and_thickness() -> None:
    board = groyne()
    for derivative in (0, 1, 2):
        np.testing.assert_array_equal(
            board.deck_line(X, derivative), board.rocker(X, derivative) + board.thickness(X, derivative)
        )
    np.testing.assert_array_equal(board.deck_curvature(X), board.deck_line(X, 2))


def test_faces_by_distance_are_faces_by_share() -> None:
    board, x = groyne(), np.array([0.2, 1.0, 1.7])
    y = np.array([[0.0, 0.05], [0.1, 0.2], [0.03, -0.03]])
    share = np.abs(y) / board.half_width(x)[:, None]
    np.testing.assert_allclose(board.bottom(x, y), board.bottom_at(x, share), rtol=0, atol=1e-15)
    np.testing.assert_allclose(board.deck(x, y), board.deck_at(x, share), rtol=0, atol=1e-15)


def test_bottom_curvature_is_the_rockers_where_nothing_is_held_back() -> None:
    flat = board_of(replace(GROYNE, bottom=()))
    inside = X[100:-100]
    np.testing.assert_allclose(flat.bottom_curvature(inside), flat.rocker(inside, 2), rtol=0, atol=2e-3)


def test_volume_is_settled_to_a_millionth_and_area_to_a_hundred_millionth() -> None:
    board = groyne()
    assert board.mass.volume == pytest.approx(volume(board, 96, 96), rel=1e-8)
    assert board.mass.area == pytest.approx(surface_area(board, 96, 96), rel=1e-8)


@pytest.mark.parametrize("k", [0.5, 2.0, 25.4])
def test_scale_by_k(k: float) -> None:
    # Edges fade over 8 in whatever the board, so the law holds for soft ones.
    soft = replace(GROYNE, rails=tuple(replace(rail, edge=Edge.SOFT) for rail in GROYNE.rails))
    small, big = board_of(soft), board_of(scaled(soft, k))
    assert big.mass.volume == pytest.approx(k**3 * small.mass.volume, rel=1e-9)
    assert big.mass.area == pytest.approx(k**2 * small.mass.area, rel=1e-9)
    assert big.low_at == pytest.approx(k * small.low_at, rel=1e-12)
    for large_curve, small_curve in (
        (big.rocker_curve, small.rocker_curve),
        (big.thickness_curve, small.thickness_curve),
        (big.outline.side.curve, small.outline.side.curve),
    ):
        assert large_curve.fairness() == pytest.approx(small_curve.fairness(), rel=1e-8)


def test_same_numbers_same_board_bit_for_bit() -> None:
    first, second = board_of(random_board(5)), board_of(random_board(5))
    np.testing.assert_array_equal(
        first.rocker_curve.spline.coefficients, second.rocker_curve.spline.coefficients
    )
    assert first.mass == second.mass


def test_every_unfair_table_is_told_at_once_and_in_the_units_asked_for() -> None:
    spoilt = replace(
        GROYNE,
        rocker=marks((0, 2.125), (12, 1.9), (64, 1.9), (76, 4.75)),
        thickness=marks((0, 0.625), (12, 1.6875), (24, 2.45), (30, 2.2), (64, 1.5), (76, 0.5)),
    )
    with pytest.raises(
        InputError, match=r"\[rocker\] 12 from tail: is 1 29/32 in, but no fair rocker"
    ) as caught:
        board_of(spoilt)
    tables = [problem.where.split("[")[1].split("]")[0] for problem in caught.value.problems]
    assert sorted(set(tables)) == ["rocker", "thickness"]
    with pytest.raises(InputError, match=r"is 48\.3 mm, but"):
        board_of(spoilt, System.MM)


@pytest.mark.parametrize("place", [1, 2])
def test_the_numbers_given_instead_are_fair(place: int) -> None:
    rocker = list(GROYNE.rocker)
    rocker[place] = replace(rocker[place], value=rocker[place].value * 2.3)
    with pytest.raises(InputError, match="needs it down by") as caught:
        board_of(replace(GROYNE, rocker=tuple(rocker)))
    for problem in caught.value.problems:
        index = next(i for i, m in enumerate(rocker) if problem.where.endswith(f"] {m.place}"))
        told = problem.remedy.rsplit(", to ", 1)[1].removesuffix(".")
        rocker[index] = replace(rocker[index], value=parse_length(told))
    board_of(replace(GROYNE, rocker=tuple(rocker)))


def test_a_width_on_the_point_of_a_diamond_is_refused() -> None:
    widths = marks((0, 6), (3, 7), (12, 14.5), (64, 12.125), (76, 0))
    diamond = replace(GROYNE, tail=Tail(TailKind.DIAMOND, depth=4 * INCH), outline=widths)
    with pytest.raises(InputError, match=r"\[outline\] 3 from tail: lies aft of the corners of the diamond"):
        board_of(diamond)


def test_a_number_on_the_low_point_that_is_not_zero_is_refused() -> None:
    with pytest.raises(InputError, match="12 from tail"):
        board_of(replace(GROYNE, low_at=12 * INCH))
