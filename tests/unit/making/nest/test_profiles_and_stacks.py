"""Profiles, the distance they need, and stacks: against points on the true curves."""

import numpy as np
import pytest
from scipy.spatial import cKDTree

from foamwright.blank.numbers import Foam, FoamFamily
from foamwright.making.nest.order import BlockKind, Cutting, Piece
from foamwright.making.nest.profiles import STEP, Profile, grown, rises
from foamwright.making.nest.stacks import MARK, Room

FOAM = Foam(FoamFamily.EPS, 20.0)
CUTTING = Cutting(kerf=0.0016, margin=0.005)


def bent(length, nose, tail, thick):
    """A profile with the rocker of two parabolas and a foil that thins at the tips."""
    x = np.linspace(0.0, length, 1001)
    apex = 0.45 * length
    low = np.where(x < apex, tail * ((apex - x) / apex) ** 2, nose * ((x - apex) / (length - apex)) ** 2)
    return Profile(x, low, low + thick * (1.0 - 0.4 * ((x - 0.5 * length) / (0.5 * length)) ** 2))


def room(profiles, height=0.61, length=2.44):
    pieces = tuple(Piece(str(n), one, 0.3, FOAM, 9) for n, one in enumerate(profiles))
    return Room(BlockKind("b", length, 1.2, height, FOAM, 1), CUTTING, pieces)


def edge(profile, along, up):
    """Points on a profile's outline, half a millimetre apart."""
    x = np.linspace(0.0, profile.length, 4001)
    low, high = np.interp(x, profile.stations, profile.low), np.interp(x, profile.stations, profile.high)
    ends = [
        np.stack([np.full(200, x[n]), np.linspace(low[n], high[n], 200)], axis=1) for n in (0, x.size - 1)
    ]
    rows = np.concatenate([np.stack([x, low], axis=1), np.stack([x, high], axis=1), *ends])
    return rows + np.array([along, up])


def test_a_flat_profile_stands_on_another_by_its_thickness_exactly():
    flat = Profile(np.array([0.0, 1.0]), np.zeros(2), np.full(2, 0.07))
    found = rises(grown(flat, 0.0), grown(flat, 0.0), np.array([0, 4, 500]))
    assert found[:2] == pytest.approx([0.07, 0.07], abs=1e-12)
    assert found[2] == -np.inf


def test_grown_profiles_of_one_kind_nest_at_their_thickness_and_the_distance_between():
    one = bent(1.9, 0.13, 0.06, 0.07)
    (rise,) = rises(grown(one, 0.0033), grown(one, 0.0033), np.array([0]))
    assert 0.07 + 0.0066 <= rise < 0.07 + 0.0066 + 2e-4


def test_the_grown_curve_is_above_every_disc_about_the_true_one():
    one = bent(1.8, 0.15, 0.05, 0.065)
    made = grown(one, 0.004)
    at = np.linspace(0.0, 1.8, 3000)
    angle = np.linspace(0.0, np.pi, 25)
    x = (at[:, None] + 0.004 * np.cos(angle)).ravel()
    z = (np.interp(at, one.stations, one.high)[:, None] + 0.004 * np.sin(angle)).ravel()
    upper = np.interp(x, (made.begin + np.arange(made.high.size)) * STEP, made.high)
    assert np.min(upper - z) > -1e-7
    assert np.max(upper - np.interp(x, one.stations, one.high)) < 0.0075


def test_every_two_pieces_of_a_stack_keep_kerf_and_margin_between_them():
    profiles = [bent(1.9, 0.13, 0.06, 0.07), bent(1.7, 0.11, 0.05, 0.06), bent(2.1, 0.15, 0.06, 0.075)]
    inside = room(profiles)
    stack = inside.stacked((0, 2, 1, 0, 1, 2))
    assert stack is not None
    edges = [edge(profiles[lain.piece], lain.along, lain.up) for lain in stack]
    near = [
        cKDTree(edges[a]).query(edges[b])[0].min()
        for a in range(len(edges))
        for b in range(a + 1, len(edges))
    ]
    assert min(near) >= CUTTING.apart - 2e-5
    assert min(near) < CUTTING.apart + 3e-4
    whole = np.concatenate(edges)
    assert np.min(whole) >= CUTTING.apart - 1e-9
    assert np.max(whole[:, 0]) <= 2.44 - CUTTING.apart + 1e-9
    assert np.max(whole[:, 1]) <= 0.61 - CUTTING.apart + 1e-9


def test_tails_lie_at_marks():
    inside = room([bent(1.9, 0.13, 0.06, 0.07), bent(1.7, 0.11, 0.05, 0.06)])
    for lain in inside.stacked((0, 1, 0)):
        steps = (lain.along - CUTTING.apart) / MARK
        assert steps == pytest.approx(round(steps), abs=1e-6)


def test_a_stack_that_is_too_high_is_none_and_the_same_with_one_less_is_not():
    one = bent(1.9, 0.13, 0.06, 0.07)
    inside = room([one], height=0.61)
    most = next(n for n in range(1, 20) if inside.stacked((0,) * (n + 1)) is None)
    assert most == 1 + int((0.61 - 2 * CUTTING.apart - one.tall) / (0.07 + CUTTING.apart))
    stack = ()
    for _ in range(most):
        stack = inside.topped(stack, 0)
    assert inside.topped(stack, 0) is None


def test_a_piece_longer_than_the_block_lies_nowhere():
    assert not room([bent(2.43, 0.1, 0.05, 0.07)]).holds(0)
    assert room([bent(2.44 - 2 * CUTTING.apart, 0.1, 0.05, 0.07)]).holds(0)
