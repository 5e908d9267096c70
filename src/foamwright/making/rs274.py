"""A strict RS-274 interpreter for straight moves: it runs a program and says where every axis went, and when.

Source: Kramer, Proctor and Messina, The NIST RS274NGC Interpreter - Version 3, NISTIR 6556, 2000: modal
groups (table 4), order of execution (table 8), feed modes G93 and G94 (3.5.19), G0, G1, G4, program ends.
What the standard allows and a wire has no use for (arcs, canned cycles, offsets, parameters) is refused.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from foamwright.making.rs274_words import Block, ProgramError, read_block, whole

INCH_MM = 25.4

G_GROUPS = {
    **dict.fromkeys((0.0, 1.0, 80.0), "motion"),
    **dict.fromkeys((17.0, 18.0, 19.0), "plane"),
    **dict.fromkeys((90.0, 91.0), "distance"),
    **dict.fromkeys((93.0, 94.0), "feed mode"),
    **dict.fromkeys((20.0, 21.0), "units"),
    40.0: "cutter radius",
    49.0: "tool length",
    **dict.fromkeys((61.0, 61.1, 64.0), "path control"),
    4.0: "non-modal",
}
"""G words a wire program may use, by modal group."""

M_GROUPS = {
    **dict.fromkeys((0, 1, 2, 30), "stopping"),
    **dict.fromkeys((3, 4, 5), "spindle"),
    **dict.fromkeys((7, 8, 9), "coolant"),
    **dict.fromkeys((48, 49), "overrides"),
}


USER_DEFINED = range(100, 200)
"""M words that many controllers leave to their users (common practice, no source)."""


class Way(Enum):
    """How an axis moves: in air as fast as it can, or at a feed."""

    RAPID = "rapid"
    FEED = "feed"


@dataclass(frozen=True, slots=True)
class Move:
    """One straight move: where the axes stand after it, millimetres, and its seconds (``None``: rapid)."""

    line: int
    way: Way
    to: tuple[float, ...]
    seconds: float | None


@dataclass(frozen=True, slots=True)
class Program:
    """What a program did: axes by letter, its moves in order, its comments, how often it stops."""

    axes: str
    moves: tuple[Move, ...]
    comments: tuple[str, ...]
    pauses: int


@dataclass(slots=True)
class _State:
    """The machine's modes while a program runs; positions in millimetres."""

    axes: str
    at: list[float]
    motion: float = 80.0
    metric: bool = True
    absolute: bool = True
    inverse_time: bool = False
    feed: float | None = None
    units_set: bool = False
    moves: list[Move] = field(default_factory=list)
    pauses: int = 0
    ended: bool = False


def run_program(text: str, axes: str = "XYZA") -> Program:
    """Return what a program does.

    Parameters
    ----------
    text
        The program.
    axes
        Letters of the machine's straight axes, near end first; all move in length units.

    Returns
    -------
    Program
        Positions start at 0.

    Raises
    ------
    ProgramError
        Any line that the standard does not allow, or that a wire program has no use for.
    """
    state = _State(axes, [0.0] * len(axes))
    comments: list[str] = []
    lines, demarcated = _lines(text)
    for number, line in lines:
        block = read_block(line, number, "".join(letter for letter in axes if letter in "UVW"))
        comments += block.comments
        if not block.optional:
            _execute(block, state)
        if state.ended:
            break
    if not state.ended and not demarcated:
        raise ProgramError(len(text.splitlines()), "the program has no M2, M30 or percent lines to end it")
    return Program(axes, tuple(state.moves), tuple(comments), state.pauses)


def _lines(text: str) -> tuple[list[tuple[int, str]], bool]:
    """Numbered lines between the percent signs (or all of them), and whether there are two such signs."""
    lines = list(enumerate(text.splitlines(), 1))
    marks = [number for number, line in lines if line.strip() == "%"]
    first = next((number for number, line in lines if line.strip()), 0)
    if not marks:
        return lines, False
    if marks[0] != first:
        raise ProgramError(marks[0], "a percent line does not stand first")
    last = marks[1] if len(marks) > 1 else len(lines) + 1
    return [(number, line) for number, line in lines if marks[0] < number < last], len(marks) > 1


def _execute(block: Block, state: _State) -> None:
    g = _by_group(block, "G", G_GROUPS)
    m = _by_group(block, "M", M_GROUPS)
    values = {letter: value for letter, value in block.words if letter not in "GM"}
    _check_words(block, values, state)
    moves = {letter: values[letter] for letter in state.axes if letter in values}
    _set_modes(g, state)
    _set_feed(block, g, values, state)
    if g.get("non-modal") == 4.0:
        _dwell(block, values)
        moves = {} if "P" in values and not moves else moves
    state.motion = g.get("motion", state.motion)
    if moves or g.get("motion") in (0.0, 1.0):
        _move(block, moves, values, state)
    _stop(m, state)


def _by_group(block: Block, letter: str, groups: dict[float, str] | dict[int, str]) -> dict[str, float]:
    found: dict[str, float] = {}
    for value in (value for name, value in block.words if name == letter):
        code = value if letter == "G" else float(whole(value, block.line, "M"))
        if letter == "M" and code in USER_DEFINED:
            continue
        near = next((known for known in groups if abs(known - code) < 1e-6), None)
        if near is None:
            raise ProgramError(block.line, f"{letter}{value:g} is not a word of a wire program")
        group = groups[near]  # type: ignore[index]
        if group in found:
            raise ProgramError(block.line, f"two {letter} words of the group “{group}” stand on one line")
        found[group] = float(near)
    return found


def _check_words(block: Block, values: dict[str, float], state: _State) -> None:
    unknown = sorted(set(values) - set(state.axes) - set("FPQST"))
    if unknown:
        raise ProgramError(block.line, f"this machine has no use for the word {unknown[0]}")


def _set_modes(g: dict[str, float], state: _State) -> None:
    if "units" in g:
        state.metric, state.units_set = g["units"] == 21.0, True
    if "distance" in g:
        state.absolute = g["distance"] == 90.0
    if "feed mode" in g:
        state.inverse_time = g["feed mode"] == 93.0
        state.feed = None


def _set_feed(block: Block, g: dict[str, float], values: dict[str, float], state: _State) -> None:
    if "F" in values:
        if values["F"] < 0.0:
            raise ProgramError(block.line, "the feed is negative")
        state.feed = values["F"]
    elif state.inverse_time and _feeds(g, values, state):
        raise ProgramError(block.line, "in inverse time every G1 line needs its own F")


def _feeds(g: dict[str, float], values: dict[str, float], state: _State) -> bool:
    moves = any(letter in values for letter in state.axes)
    return g.get("motion", state.motion) == 1.0 and (moves or g.get("motion") == 1.0)


def _dwell(block: Block, values: dict[str, float]) -> None:
    if values.get("P", -1.0) < 0.0:
        raise ProgramError(block.line, "G4 needs a P of 0 or more")


def _move(block: Block, moves: dict[str, float], values: dict[str, float], state: _State) -> None:
    if not moves:
        raise ProgramError(block.line, "G0 or G1 without a word for an axis")
    if state.motion == 80.0:
        raise ProgramError(block.line, "axes are named and no motion is active")
    if not state.units_set:
        raise ProgramError(block.line, "a move before G20 or G21 has set the units")
    scale = 1.0 if state.metric else INCH_MM
    to = list(state.at)
    for letter, value in moves.items():
        place = state.axes.index(letter)
        to[place] = value * scale + (0.0 if state.absolute else state.at[place])
    rapid = state.motion == 0.0
    seconds = None if rapid else _seconds(block, to, scale, state)
    state.moves.append(Move(block.line, Way.RAPID if rapid else Way.FEED, tuple(to), seconds))
    state.at = to


def _seconds(block: Block, to: list[float], scale: float, state: _State) -> float:
    if not state.feed:
        raise ProgramError(block.line, "G1 with no feed, or a feed of 0")
    if state.inverse_time:
        return 60.0 / state.feed
    # 2.1.2.5: the feed is that of the straight axes X, Y, Z together; others follow in the same time.
    pairs = zip(state.axes, state.at, to, strict=True)
    straight = [new - old for axis, old, new in pairs if axis in "XYZ"]
    length = sum(step**2 for step in straight) ** 0.5
    if length == 0.0:
        length = sum((new - old) ** 2 for old, new in zip(state.at, to, strict=True)) ** 0.5
    return float(60.0 * length / (state.feed * scale))


def _stop(m: dict[str, float], state: _State) -> None:
    if m.get("stopping") in (0.0, 1.0):
        state.pauses += 1
    if m.get("stopping") in (2.0, 30.0):
        state.ended = True
