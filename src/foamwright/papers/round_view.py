"""A board in the round on a page that needs nothing else: a view to turn, coloured by depth."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from html import escape
from importlib.resources import files

import numpy as np

from foamwright.board.board import Board
from foamwright.lay.profiles import stretched_shares, stretched_stations
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System, format_with_unit

ALONG, ACROSS = 121, 17
"""Stations and places across: 22 kB on the page, and facets that no eye sees at its size."""

QUANTUM = 0.02e-3
"""Metres in a unit of the numbers on the page, as the script reads them."""

SHOWN = 0.93
"""The share of the board's area that the colours tell apart; deeper, towards the rails, all is alike."""

STEPS = {System.INCH: (INCH / 8, INCH / 4, INCH / 2, INCH), System.MM: (0.002, 0.005, 0.01, 0.02)}
MOST_LINES = 10

STYLE = """
.round{margin:1rem 0}.round canvas{width:100%;height:24rem;touch-action:none;display:block;cursor:grab}
.round canvas:focus-visible{outline:2px solid #111}
.scale{height:.8rem;border:1px solid #111}.ends{display:flex;justify-content:space-between;font-size:.9rem}
@media print{.round canvas{height:90mm}}
"""


@dataclass(frozen=True, eq=False)
class Round:
    """Heights and depths on a grid: (N,) half-widths, (N, K) all else, metres."""

    length: float
    half: Floats
    bottom: Floats
    deck: Floats
    bottom_depth: Floats
    deck_depth: Floats


def taken_off(plan: Plan) -> Round:
    """Return what comes off both faces of a plan's blank, down to the finished core."""
    board, blank, lay = plan.board, plan.blank, plan.lay
    x, share = stretched_stations(board.length, ALONG), stretched_shares(ACROSS)
    half = np.maximum(board.half_width(x), 0.0)
    bottom, deck = board.bottom_at(x, share), board.deck_at(x, share)
    at = np.clip(x + lay.slide, 0.0, blank.length)
    line = lay.line(x)[:, None]
    crown = blank.dome(at)[:, None] * (half[:, None] * share) ** 2
    return Round(
        board.length,
        half,
        bottom,
        deck,
        np.maximum(line + bottom - blank.bottom(at)[:, None], 0.0),
        np.maximum(blank.deck(at)[:, None] - crown - line - deck, 0.0),
    )


def thick_everywhere(board: Board) -> Round:
    """Return how thick a board is at every place."""
    x, share = stretched_stations(board.length, ALONG), stretched_shares(ACROSS)
    bottom, deck = board.bottom_at(x, share), board.deck_at(x, share)
    half = np.maximum(board.half_width(x), 0.0)
    return Round(board.length, half, bottom, deck, deck - bottom, deck - bottom)


def round_figure(shown: Round, what: str, system: System) -> str:
    """Return the figure with its legend, and the script that draws it, as HTML.

    Parameters
    ----------
    shown
        The surface.
    what
        What its colours say, like ``what comes off``.
    system
        Inches or millimetres.
    """
    depths = np.stack([shown.bottom_depth, shown.deck_depth])
    inside = np.broadcast_to(shown.half[:, None] > 0.0, shown.bottom.shape)
    most = float(np.quantile(depths[:, inside], SHOWN))
    step = next((s for s in STEPS[system] if most / s <= MOST_LINES), STEPS[system][-1])
    script = files("foamwright").joinpath("web", "static", "surface.js").read_text("utf-8")
    colours = script.partition('CIVIDIS =\n  "')[2].partition('"')[0]
    bar = ",".join(f"#{colours[i : i + 6]}" for i in range(0, len(colours), 6))
    words = f"{what}: pale none or little, dark {format_with_unit(most, system)} or more"
    lines = f"Lines every {format_with_unit(step, system)}. Drag, or use the arrow keys, to turn it."
    return (
        f'<figure class="round" data-most="{most:.6f}" data-step="{step:.6f}" '
        f'data-length="{shown.length:.6f}" data-surface="{_packed(shown)}">'
        f'<noscript><p class="plain-picture">The view in the round needs script.</p></noscript>'
        f'<div class="scale" style="background:linear-gradient(90deg,{bar})"></div>'
        f'<div class="ends"><span>0</span><span>{escape(format_with_unit(most, system))} or more</span></div>'
        f"<figcaption>{escape(words[:1].upper() + words[1:])}. {escape(lines)}</figcaption></figure>\n"
        f'<script type="module">{script.replace("export function", "function")}\n'
        f'showSurface(document.querySelector(".round"), {_quoted(words)});</script>'
    )


def _quoted(words: str) -> str:
    import json

    return json.dumps(words).replace("<", "\\u003c")


def _packed(shown: Round) -> str:
    """Return base64 of 16-bit numbers: counts along and across, then the fields."""
    fields = (shown.half, shown.bottom, shown.deck, shown.bottom_depth, shown.deck_depth)
    numbers = np.concatenate([np.rint(field.ravel() / QUANTUM) for field in fields])
    # Depths beside a tip of no width may be greater than a number holds; nothing there is seen.
    data = np.clip(np.concatenate([shown.bottom.shape, numbers]), -32768, 32767).astype("<i2")
    return base64.b64encode(data.tobytes()).decode()
