"""How fast and how exact the lay is: against scipy's HiGHS, against a mesh boolean, and a rack of 200 blanks.

Each function returns rows (dicts of name, value, unit, and what was asked for) and asserts that the answers
agree before it times anything.
"""

from __future__ import annotations

import time

import numpy as np

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack, inner_of
from foamwright.lay.survey import survey
from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.line_between import FITS, line_between
from foamwright.shape.kernels.sliding_fit import one_of, place, room_for
from lay_cases import INCH

BAY = Bay()


def best_of(function, repeats: int = 7) -> float:
    """Least seconds of some runs: what the machine can do when nobody else is at it."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def agreement(count: int = 10_000, seed: int = 1) -> list[dict]:
    """Worst differences to HiGHS on random boards in random blanks at random slides."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        c = cases.random_case(rng, BAY)
        found.append(cases.difference(c.x, c.lower, c.upper, c.toward, c.line))
    fits = sum(d.fits for d in found)
    assert all(d.fits == d.reference_fits for d in found)
    assert 0 < fits < count
    rows = [row("lay cases against HiGHS", count, "cases", ""), row("of them feasible", fits, "cases", "")]
    for name in ("objective", "position", "violation", "gap"):
        worst = max(getattr(d, name) for d in found)
        assert worst < 1e-9, (name, worst)
        rows.append(row(f"worst difference, {name}", worst, "m", "1e-9 or less"))
    return rows


@compiled
def _lines(count, x, lower, upper, toward, room):
    total = 0.0
    for _ in range(count):
        total += line_between(x, lower, upper, toward, room).lift
    return total


@compiled
def _lays(slides, inner, one, room, out):
    for i in range(slides.size):
        place(inner, one, slides[i], room, out[i])


def against_highs(count: int = 200, seed: int = 2) -> list[dict]:
    """Time of one lay, sets given and sets built, against HiGHS on the same sets."""
    rng = np.random.default_rng(seed)
    some = [cases.random_case(rng, BAY) for _ in range(count)]
    theirs = [best_of(lambda c=c: cases.highs_line(c.x, c.lower, c.upper, c.toward), 3) for c in some]
    room = np.empty((2, 3, some[0].x.size))
    ours = []
    for c in some:
        args = (c.x, c.lower, c.upper, c.toward, room)
        _lines(1, *args)
        ours.append(best_of(lambda args=args: _lines(100, *args), 5) / 100)
    line_us, highs_us = 1e6 * float(np.median(ours)), 1e6 * float(np.median(theirs))
    whole_us = 1e6 * one_lay_seconds()
    sets_us = 1e6 * reference_sets_seconds()
    return [
        row("one lay, HiGHS", highs_us, "us", ""),
        row("one lay", line_us, "us", ""),
        row("one lay, times faster than HiGHS", highs_us / line_us, "x", "1000 or more"),
        row("one lay with the blank read at a slide, HiGHS", highs_us + sets_us, "us", ""),
        row("one lay with the blank read at a slide", whole_us, "us", ""),
        row("the same, times faster", (highs_us + sets_us) / whole_us, "x", ""),
    ]


def one_lay_seconds() -> float:
    """Seconds of a whole lay at a slide: blank read, outline checked, sets made, best line, work."""
    board, blank = cases.plain_board(), cases.plain_blank()
    profile, rack = profile_of_board(board), Rack((profile_of_blank(blank),))
    outers, kinds = rack.outers(BAY)
    inner = inner_of(profile, kinds, BAY)
    one, room = one_of(inner, outers, 0), room_for(profile.x.size)
    slides = np.arange(3, 28) * INCH / 8
    out = np.empty((slides.size, 7))
    _lays(slides, inner, one, room, out)
    assert np.all(out[:, 6] == FITS)
    return best_of(lambda: _lays(slides, inner, one, room, out), 50) / slides.size


def reference_sets_seconds() -> float:
    """Seconds numpy takes to make the sets that HiGHS is given."""
    board, blank = cases.plain_board(), cases.plain_blank()
    profile = profile_of_board(board)
    return best_of(lambda: cases.reference_sets(board, profile, blank, BAY, INCH), 20)


def against_mesh_boolean(stations: int = 129, across: int = 17) -> list[dict]:
    """Time of asking manifold3d whether the laid board is inside the blank: is the difference empty?"""
    board, blank = cases.plain_board(), cases.plain_blank()
    choice = survey(profile_of_board(board), Rack((profile_of_blank(blank),)), BAY).best
    board_mesh = _board_mesh(board, choice.placed, stations, across)
    blank_mesh = _blank_mesh(blank, stations, across)
    lifted = choice.placed.__class__(choice.placed.slide, choice.placed.lift + 0.5 * INCH, choice.placed.tilt)
    outside_mesh = _board_mesh(board, lifted, stations, across)

    def outside(mesh) -> float:
        return (mesh - blank_mesh).volume()

    assert outside(board_mesh) < 1e-9
    assert outside(outside_mesh) > 1e-5
    theirs = best_of(lambda: outside(board_mesh), 5)
    ours = one_lay_seconds()
    return [
        row("board inside blank? mesh boolean", 1e6 * theirs, "us", f"{board_mesh.num_tri()} triangles"),
        row("one lay, times faster than the boolean", theirs / ours, "x", "1000 or more"),
    ]


def _solid(bottom, deck, x, y):
    """A watertight manifold of two height fields (N, K) over the same grid of x (N, K), y (N, K)."""
    from manifold3d import Manifold, Mesh

    n, k = bottom.shape
    low = np.stack([x, y, bottom], axis=-1).reshape(-1, 3)
    high = np.stack([x, y, deck], axis=-1).reshape(-1, 3)
    index = np.arange(n * k).reshape(n, k)
    a, b, c, d = index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]
    top = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    rim = np.concatenate([index[:-1, 0], index[-1, :-1], index[:0:-1, -1], index[0, :0:-1]])
    after, up = np.roll(rim, -1), n * k
    side = np.concatenate([np.stack([rim, after, after + up], -1), np.stack([rim, after + up, rim + up], -1)])
    triangles = np.concatenate([top[:, ::-1], top + up, side]).astype(np.uint32)
    solid = Manifold(Mesh(np.concatenate([low, high]).astype(np.float32), triangles))
    assert solid.volume() > 0.0, solid.status()
    return solid


def _board_mesh(board, lay, stations, across):
    """The board before its contours, a hair inside its tips and rails, placed in the blank."""
    x = board.length * (1 - np.cos(np.linspace(0.02, np.pi - 0.02, stations))) / 2
    share = np.linspace(-0.999, 0.999, 2 * across - 1)
    y = board.half_width(x)[:, None] * share
    line = (lay.lift + lay.tilt * x)[:, None]
    deck = board.deck(x, y)
    bottom = np.minimum(board.pre_contour(x)[:, None] + 0 * y, deck - 1e-4)
    return _solid(bottom + line, deck + line, x[:, None] + lay.slide + 0 * y, y)


def _blank_mesh(blank, stations, across):
    x = np.linspace(0, blank.length, stations)
    y = blank.half_width(x)[:, None] * np.linspace(-1, 1, 2 * across - 1)
    deck = blank.deck(x)[:, None] - blank.dome(x)[:, None] * y**2
    return _solid(blank.bottom(x)[:, None] + 0 * y, deck, x[:, None] + 0 * y, y)


def rack_of_200(seed: int = 3) -> list[dict]:
    """A rack of 200 blanks ranked for one board, all slides at 1/8 in, once everything is compiled."""
    rng = np.random.default_rng(seed)
    board = cases.plain_board()
    near = [cases.random_blank(rng, board, f"B{n}") for n in range(200)]
    far = [cases.random_blank_of_any_length(rng, board, f"B{n}") for n in range(200)]
    return [
        *_ranked(board, near, "blanks up to 6 in longer", "under 50"),
        *_ranked(board, far, "blanks 6 in shorter to 40 in longer", ""),
    ]


def _ranked(board, blanks, which: str, asked: str) -> list[dict]:
    profile = profile_of_board(board)
    rack = Rack(tuple(profile_of_blank(b) for b in blanks))
    found, alone = survey(profile, rack, BAY), survey(profile, rack, BAY, workers=1)
    assert len(found.choices) == len(blanks)
    for a, b in zip(found.choices, alone.choices, strict=True):
        assert a.id == b.id
        assert np.array_equal(a.grid, b.grid, equal_nan=True)
    slides, fits = sum(c.curve.slide.size for c in found.choices), sum(c.fits for c in found.choices)
    both = best_of(lambda: survey(profile, rack, BAY), 15)
    one = best_of(lambda: survey(profile, rack, BAY, workers=1), 15)
    return [
        row(f"200 {which}: slides tried", slides, "slides", f"{fits} blanks fit"),
        row(f"200 {which}: ranked, two threads", 1e3 * both, "ms", asked),
        row(f"200 {which}: ranked, one thread", 1e3 * one, "ms", ""),
    ]


def row(name: str, value: float, unit: str, asked: str) -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def rows(count: int = 10_000) -> list[dict]:
    """Everything."""
    return [*agreement(count), *against_highs(), *against_mesh_boolean(), *rack_of_200()]


if __name__ == "__main__":
    for line in rows():
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
