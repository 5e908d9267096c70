"""Bottom contours: as deep and wide as usual, clear of one another, and never too deep for the board."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches
from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import RAIL_TO_RAIL, Key, Term
from foamwright.findings import Finding, Severity, said
from foamwright.shape.curves import Floats
from foamwright.units import INCH

LEAST_SHARE = 2 / 3
"""Share of the thickness that all contours together leave at least. Common practice, no source."""

LEAST_FOAM = 5 * INCH / 8
"""Foam that they leave at least, away from the tips. Common practice, no source."""

TIPS = 3 * INCH
"""At the tips themselves, whose foam is checked by itself, contours run out."""

SEEN = INCH / 64
"""Contours shallower than this leave no mark."""

INSIDE = 0.75 * INCH
"""Channels end so far inside the tuck. Common practice, no source."""

LAND = INCH / 4
"""Land between two channels. Common practice, no source."""

CLEAR = INCH / 2
"""Foam between a channel and a fin box. Common practice, no source."""

CHINE_SHARE = 0.4
"""Most of the rail's thickness that a chine takes. Common practice, no source."""

ACROSS = 33
ROUNDING = 1e-6


def check_bottom(board: Board, places: Places) -> list[Finding]:
    """Return what is wrong with the contours."""
    found = [_unusual(term, key, places) for term in board.numbers.bottom for key in KINDS[term.shape].keys]
    return [
        *(finding for finding in found if finding is not None),
        *_too_deep(board, places),
        *(finding for term in board.numbers.bottom for finding in _channels(board, term, places)),
        *_chine(board, places),
    ]


def _where(term: Term, places: Places) -> str:
    place = places.between(term.stretch.end, term.stretch.begin)
    return said("where.bottom", "bottom, {place}", place=place)


def _unusual(term: Term, key: Key, places: Places) -> Finding | None:
    """Return a finding where a contour has a number that such a contour hardly ever has."""
    value = term.numbers.get(key.name)
    if value is None or value == RAIL_TO_RAIL or key.least - ROUNDING <= value <= key.most + ROUNDING:
        return None
    limit = key.least if value < key.least else key.most
    degrees = key.name == "angle"
    size, bound = (f"{v:g}°" if degrees else places.amount(v) for v in (value, limit))
    wording = (
        ("contour-unusual.least", "A {key} of {size} is hardly any for {shape}: {limit} is the least.")
        if value < key.least
        else ("contour-unusual.most", "A {key} of {size} is rare for {shape}: {limit} is the usual most.")
    )
    return Finding(
        "contour-unusual",
        Severity.WARNING,
        _where(term, places),
        value,
        limit,
        "deg" if degrees else "m",
        said(*wording, shape=term.shape, key=key.name, size=size, limit=bound),
        said("contour-unusual.remedy", "Make it {limit}, or be sure of it.", limit=bound),
    )


def _too_deep(board: Board, places: Places) -> list[Finding]:
    """Return one finding where what all contours take leaves too little board."""
    if not board.numbers.bottom:
        return []
    x = grid(board)
    x = x[(x >= TIPS) & (x <= board.length - TIPS)]
    numbers = board.section_numbers(x)
    out = np.minimum(numbers.bottom_kinks[:, -2:-1], numbers.deck_kinks[:, -2:-1])
    share = out * np.linspace(0.0, 1.0, ACROSS)
    bottom = numbers.contour_bottom(share)
    flat = numbers.rocker + numbers.lowest()[:, None]
    left, taken = numbers.deck(share) - bottom, bottom - flat
    part = np.min(left / np.maximum(left + taken, 1e-9), axis=1)
    least = np.min(np.where(taken > SEEN, left, np.inf), axis=1)
    thin = (part < LEAST_SHARE - ROUNDING) | (least < LEAST_FOAM - ROUNDING)
    runs = stretches(x, thin)
    if not runs:
        return []
    worst = int(np.argmin(np.where(thin, part, np.inf)))
    where = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))
    return [
        Finding(
            "contour-deep",
            Severity.WARNING,
            said("where.bottom", "bottom, {place}", place=where),
            float(np.min(left[worst])),
            LEAST_FOAM,
            "m",
            said(
                "contour-deep",
                "All contours together leave {left} of foam at {place}, {share} of what was there; "
                "{limit} and two thirds is the least.",
                left=places.amount(float(np.min(left[worst]))),
                share=f"{part[worst]:.0%}",
                place=places.at(float(x[worst])),
                limit=places.amount(LEAST_FOAM),
            ),
            said("contour-deep.remedy", "Make the contours shallower there, or the board thicker."),
        )
    ]


def _channels(board: Board, term: Term, places: Places) -> list[Finding]:
    """Return what is wrong with channels: out of the flat, too close together, into fin boxes."""
    if term.shape != "channels":
        return []
    numbers = term.numbers
    land = numbers["pitch"] - numbers["width"]
    found = []
    if numbers["count"] > 2 and land < LAND - ROUNDING:
        found.append(
            _channel_finding(
                term,
                (land, LAND),
                places,
                ("channels-land", "Between two channels there are {size} of land; they need {limit}."),
            )
        )
    x = np.linspace(term.stretch.end, term.stretch.fore, 65)
    walls = _walls(board, term, x)
    room = (board.half_width(x) - board.sections.tuck_at(x)) - np.max(walls, axis=0)
    if float(np.min(room)) < INSIDE - ROUNDING:
        found.append(
            _channel_finding(
                term,
                (float(np.min(room)), INSIDE),
                places,
                ("channels-outside", "The channels end {size} inside the tuck; they need {limit}.")
                if np.min(room) >= 0.0
                else (
                    "channels-outside.past",
                    "The channels reach {size} past the tuck; they must end {limit} inside it.",
                ),
            )
        )
    return [*found, *_boxes(board, term, places)]


def _walls(board: Board, term: Term, x: Floats) -> Floats:
    """Return inner and outer walls (2 n, N) of the channels of one side."""
    numbers = board.section_numbers(x)
    kind, anchored = next(
        (k, t) for k, t, _ in numbers.terms if t.stretch == term.stretch and t.shape == term.shape
    )
    lines = [line[:, 0] for line in kind.kinks(anchored, numbers.across)]
    each = 4 if term.words["profile"] == "square" else 3
    return np.array([line for n in range(0, len(lines), each) for line in (lines[n], lines[n + each - 1])])


def _boxes(board: Board, term: Term, places: Places) -> list[Finding]:
    """Return a finding for the fin box that a channel comes nearest to, if that is too near."""
    worst: tuple[float, str] | None = None
    for fin in board.numbers.fins:
        x = np.linspace(fin.x, fin.x + fin.box_length, 9)
        x = x[(x >= term.stretch.end) & (x <= term.stretch.begin)]
        if not x.size:
            continue
        walls, half = _walls(board, term, x), fin.box_width / 2.0
        y = np.abs(fin.y) - (x - fin.x) * np.tan(fin.toe) * (1.0 if fin.y else 0.0)
        gaps = np.maximum(walls[0::2] - (y + half), (y - half) - walls[1::2])
        gap = float(np.min(gaps))
        if gap < CLEAR - ROUNDING and (worst is None or gap < worst[0]):
            worst = gap, fin.name
    if worst is None:
        return []
    return [
        _channel_finding(
            term,
            (worst[0], CLEAR),
            places,
            (
                "channels-box",
                "A channel comes within {size} of the {box} fin box; {limit} of foam must stay between them.",
            )
            if worst[0] > 0.0
            else (
                "channels-box.into",
                "A channel runs {size} into the {box} fin box; {limit} of foam must stay between them.",
            ),
            box=worst[1],
        )
    ]


def _channel_finding(
    term: Term, sizes: tuple[float, float], places: Places, wording: tuple[str, str], **values: str
) -> Finding:
    size, limit = sizes
    return Finding(
        wording[0].partition(".")[0],
        Severity.WARNING,
        _where(term, places),
        size,
        limit,
        "m",
        said(*wording, size=places.amount(abs(size)), limit=places.amount(limit), **values),
        said("channels.remedy", "Change first, pitch, width or count of the channels, or where they run."),
    )


def _chine(board: Board, places: Places) -> list[Finding]:
    """Return a finding where a chine takes too much of the rail."""
    terms = [term for term in board.numbers.bottom if term.shape == "chine"]
    if not terms:
        return []
    x = grid(board)
    x = x[(x >= TIPS) & (x <= board.length - TIPS)]
    numbers = board.section_numbers(x)
    rise = np.zeros(x.size)
    for kind, term, amount in numbers.terms:
        if term.shape == "chine":
            rise = rise + kind.height(term, amount, numbers.across, numbers.across.edge)[:, 0]
    share = rise / np.maximum(numbers.rail[:, 0] + rise, 1e-9)
    worst = int(np.argmax(share))
    if share[worst] <= CHINE_SHARE + ROUNDING:
        return []
    return [
        Finding(
            "chine-high",
            Severity.WARNING,
            _where(terms[0], places),
            float(share[worst]),
            CHINE_SHARE,
            "1",
            said(
                "chine-high",
                "The chine rises {size} at {place}, {share} of the rail there; {limit} is the most.",
                size=places.amount(float(rise[worst])),
                place=places.at(float(x[worst])),
                share=f"{share[worst]:.0%}",
                limit=f"{CHINE_SHARE:.0%}",
            ),
            said("chine-high.remedy", "Make it narrower or less steep, or the board thicker."),
        )
    ]
