"""A wire path as an RS-274 program, and a program read back as a path."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

import numpy as np

from foamwright.bay.machine import Carriages, WireMachine
from foamwright.making.rs274 import Way, run_program
from foamwright.making.wire_cautions import WIRE_CAUTIONS
from foamwright.making.wire_path import WirePath
from foamwright.shape.curves import Floats

LONGEST_COMMENT = 120


@dataclass(frozen=True, slots=True)
class SetUp:
    """What the person at the machine has to know.

    Attributes
    ----------
    title
        What is cut.
    lines
        What lies where, in sentences.
    riser
        How high the foam stands on boards above the bed, metres.
    """

    title: str
    lines: tuple[str, ...]
    riser: float = 0.0


def program_text(path: WirePath, machine: WireMachine, setup: SetUp) -> str:
    """Return the program: a header in words, then millimetres, absolute, straight moves only.

    One carriage runs on X and Y at a feed in mm/min (G94). Two carriages run in inverse time (G93): each
    move says how many of it would fit in a minute, so both ends arrive together on any controller, however it
    counts a feed over four axes.
    """
    points = carriage_points(path, machine, setup.riser) * 1000.0
    apart = machine.carriages is Carriages.APART
    axes = str(machine.axes) if apart else "XY"
    columns = points if apart else points[:, :2]
    body = _moves(columns, path.seconds, axes, apart=apart)
    out = "G0 " + _words(axes[::2], [columns[-1, i] for i in range(0, len(axes), 2)])
    lines = [
        "%",
        *_comments(_header(path, machine, setup)),
        f"G17 G21 G90 {'G93' if apart else 'G94'} G40 G49 G80",
        *_comments(("Look: extraction on, nothing loose in the wire's way, current on, wire up to heat.",)),
        "M0",
        "G0 " + _words(axes[::2], [columns[0, i] for i in range(0, len(axes), 2)]),
        "G0 " + _words(axes[1::2], [columns[0, i] for i in range(1, len(axes), 2)]),
        *body,
        out,
        *_comments(("Current off.",)),
        "M2",
        "%",
    ]
    return "\n".join(lines) + "\n"


def carriage_points(path: WirePath, machine: WireMachine, riser: float = 0.0) -> Floats:
    """Return (M, 4) where both ends of the wire stand, metres: the straight line through both faces.

    `riser` is how high the foam stands above the bed.
    """
    slant = (path.far - path.near) / path.depth
    beyond = machine.span - machine.near_gap - path.depth
    up = np.array([0.0, riser, 0.0, riser])
    ends = [path.near - slant * machine.near_gap, path.far + slant * beyond]
    return np.asarray(np.concatenate(ends, axis=1) + up)


def path_of(text: str, machine: WireMachine, like: WirePath, riser: float = 0.0) -> WirePath:
    """Return the path that a program runs at the faces of the block, read by the strict interpreter.

    Parameters
    ----------
    text
        The program.
    machine
        Where the wire's ends are.
    like
        Whose name and depth the path takes.
    riser
        How high the foam stands above the bed, metres.

    Raises
    ------
    ProgramError
        The program is not what the standard allows.
    """
    apart = machine.carriages is Carriages.APART
    program = run_program(text, str(machine.axes) if apart else "XY")
    fed = [i for i, move in enumerate(program.moves) if move.way is Way.FEED]
    points = np.array([program.moves[i].to for i in (fed[0] - 1, *fed)]) / 1000.0
    points[:, 1::2] -= riser
    seconds = np.array([program.moves[i].seconds for i in fed], dtype=float)
    if not apart:
        return WirePath(like.name, points, points, seconds, like.depth)
    near, far = points[:, :2], points[:, 2:]
    slant = (far - near) / machine.span
    face = near + slant * machine.near_gap
    return WirePath(like.name, face, face + slant * like.depth, seconds, like.depth)


def _header(path: WirePath, machine: WireMachine, setup: SetUp) -> tuple[str, ...]:
    return (
        f"foamwright wire program: {setup.title}",
        "Units: millimetres. Zero: tail end of the foam, bed of the machine, near end of the wire.",
        "X runs along the foam, Y up.",
        f"Machine: {machine.name}, wire {machine.span * 1000:.0f} mm between its ends, carriages "
        f"{machine.carriages}.",
        *setup.lines,
        f"Cutting time about {path.minutes:.1f} min, {path.metres:.2f} m of path.",
        *(caution.sentence for caution in WIRE_CAUTIONS),
    )


def _moves(columns: Floats, seconds: Floats, axes: str, *, apart: bool) -> list[str]:
    lines, feed_said = [], ""
    for point, time, before in zip(columns[1:], seconds, columns[:-1], strict=True):
        feed = 60.0 / time if apart else 60.0 * float(np.hypot(*(point[:2] - before[:2]))) / time
        said = f" F{_number(feed, 4 if apart else 1)}"
        lines.append(f"G1 {_words(axes, list(point))}{said if apart or said != feed_said else ''}")
        feed_said = said
    return lines


def _words(axes: str, values: list[float]) -> str:
    return " ".join(f"{axis}{_number(value, 3)}" for axis, value in zip(axes, values, strict=True))


def _number(value: float, places: int) -> str:
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _comments(sentences: tuple[str, ...]) -> list[str]:
    """Comments of plain characters without brackets, short enough for any controller."""
    lines: list[str] = []
    for sentence in sentences:
        plain = unicodedata.normalize("NFKD", sentence).encode("ascii", "ignore").decode()
        for line in _wrapped(plain.translate(str.maketrans("()%", "[] "))):
            lines.append(f"({line})")
    return lines


def _wrapped(sentence: str) -> list[str]:
    lines = [""]
    for word in sentence.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > LONGEST_COMMENT:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
