"""A wire path as an RS-274 program, and a program read back as a path."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

import numpy as np

from foamwright.bay.machine import Carriages, WireMachine
from foamwright.errors import Problem
from foamwright.making.rs274 import Way, run_program
from foamwright.making.rs274_words import ProgramError
from foamwright.making.wire_cautions import WIRE_CAUTIONS
from foamwright.making.wire_path import WirePath
from foamwright.shape.curves import Floats
from foamwright.units import INCH

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
    """Return the program: a header in words, then absolute straight moves and the controller's own lines.

    One carriage runs on X and Y at a feed in mm/min (G94). Two carriages run in inverse time (G93): each
    move says how many of it would fit in a minute, so both ends arrive together on any controller, however it
    counts a feed over four axes.
    """
    own, unit = machine.words, _INCHES if machine.words.inches else _MILLIMETRES
    points = carriage_points(path, machine, setup.riser) * unit.a_metre
    apart = machine.carriages is Carriages.APART
    axes = str(machine.axes) if apart else "XY"
    columns = points if apart else points[:, :2]
    body = _moves(columns, path.seconds, axes, unit, apart=apart)
    start, end = columns[0], columns[-1]
    lines = [
        "%",
        *_comments(_header(path, machine, setup)),
        f"G17 {unit.word} G90 {'G93' if apart else 'G94'} G40 G49 G80",
        *own.header,
        *_comments(("Look: extraction on, nothing loose in the wire's way, current on, wire up to heat.",)),
        "M0",
        "G0 " + _words(axes[::2], list(start[::2]), unit),
        "G0 " + _words(axes[1::2], list(start[1::2]), unit),
        *own.heat_on,
        *_dwell(own.heat_seconds),
        *body,
        *own.heat_off,
        "G0 " + _words(axes[::2], list(end[::2]), unit),
        *_parked(machine, axes, unit),
        *_comments(("Current off.",)),
        *own.footer,
        "M2",
        "%",
    ]
    return "\n".join(lines) + "\n"


@dataclass(frozen=True, slots=True)
class _ProgramUnit:
    """The unit of a program's numbers: its word, how many make a metre, decimals of lengths and feeds."""

    word: str
    a_metre: float
    places: int
    feed_places: int


_MILLIMETRES = _ProgramUnit("G21", 1000.0, 3, 1)
# Five decimals of an inch are a quarter of a micrometre: finer than three of a millimetre.
_INCHES = _ProgramUnit("G20", 1.0 / INCH, 5, 3)


def _dwell(seconds: float) -> list[str]:
    """Wait while the wire grows hot; P counts seconds (NISTIR 6556, 3.5.4)."""
    return [f"G4 P{_number(seconds, 1)}"] if seconds > 0.0 else []


def _parked(machine: WireMachine, axes: str, unit: _ProgramUnit) -> list[str]:
    """Go to the park position: up first, so that nothing on the bed is met."""
    if machine.words.park is None:
        return []
    along, up = (value * unit.a_metre for value in machine.words.park)
    ends = len(axes) // 2
    return [f"G0 {_words(axes[1::2], [up] * ends, unit)}", f"G0 {_words(axes[::2], [along] * ends, unit)}"]


def own_line_problems(machine: WireMachine) -> list[Problem]:
    """Return what is wrong with the controller's own lines of a machine sheet.

    They may switch and set what the standard has words for (M3 to M9, G61, G64, G4 ...) and user-defined
    words (M100 to M199); they may not move, change units or distances, pause or end the program, because the
    part would then be another one than was checked.
    """
    words, problems = machine.words, []
    for key in ("header", "heat_on", "heat_off", "footer"):
        for line in getattr(words, key):
            why = _own_line_fault(line)
            if why:
                problems.append(
                    Problem(
                        f"machine {machine.name}, [program] {key}",
                        f"“{line}” cannot stand in a program: {why}.",
                        "Write one line of switching words for the controller, such as M3 S800 or M5.",
                    )
                )
    return problems


_CHANGES_THE_PATH = re.compile(
    r"G0*(?:0|1|2|3|20|21|90|91|92|93|94|10|28|30|53|54)(?![0-9])|M0*(?:0|1|2|30)(?![0-9])"
)


def _own_line_fault(line: str) -> str:
    plain = "".join(line.split()).upper()
    if _CHANGES_THE_PATH.search(re.sub(r"\(.*?\)", "", plain)):
        return "it moves the wire, changes units or stops the program"
    try:
        run_program(f"G21\n{line}\nM2\n")
    except ProgramError as why:
        return str(why).partition(": ")[2]
    return ""


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
    # Moves in air before and after the cut, parking among them, are no part of the path.
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
        f"Units: {'inches' if machine.words.inches else 'millimetres'}.",
        "Zero: tail end of the foam, bed of the machine, near end of the wire.",
        "X runs along the foam, Y up.",
        f"Machine: {machine.name}, wire {machine.span * 1000:.0f} mm between its ends, carriages "
        f"{machine.carriages}.",
        *setup.lines,
        f"Cutting time about {path.minutes:.1f} min, {path.metres:.2f} m of path.",
        *(caution.sentence for caution in WIRE_CAUTIONS),
    )


def _moves(columns: Floats, seconds: Floats, axes: str, unit: _ProgramUnit, *, apart: bool) -> list[str]:
    lines, last_feed = [], ""
    for point, time, before in zip(columns[1:], seconds, columns[:-1], strict=True):
        feed = 60.0 / time if apart else 60.0 * float(np.hypot(*(point[:2] - before[:2]))) / time
        word = f" F{_number(feed, 4 if apart else unit.feed_places)}"
        lines.append(f"G1 {_words(axes, list(point), unit)}{word if apart or word != last_feed else ''}")
        last_feed = word
    return lines


def _words(axes: str, values: list[float], unit: _ProgramUnit) -> str:
    return " ".join(f"{axis}{_number(value, unit.places)}" for axis, value in zip(axes, values, strict=True))


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
