"""Cutting one close-cut blank: its set-ups, their programs, the limits of the machine, the proof."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foamwright.bay.machine import Block, Carriages, WireMachine
from foamwright.errors import FaultError, InputError, Problem
from foamwright.making.closecut import CloseCut
from foamwright.making.closecut_numbers import refuse_polyurethane
from foamwright.making.wire_parts import Taper, outline_part, profile_part
from foamwright.making.wire_path import Part, WirePath, wire_path
from foamwright.making.wire_program import SetUp, carriage_points, own_line_problems, path_of, program_text
from foamwright.making.wire_sweep import TOLERANCE, Sweep, swept
from foamwright.shape.curves import Floats

SHOWN = 1000.0
"""Millimetres in a metre."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of the wire.

    Attributes
    ----------
    feed
        Speed through foam, m/s; ``None``: the machine's usual one.
    block
        Name of the block; ``None``: the smallest that holds the part.
    taper
        Level across, or falling to the rail.
    """

    feed: float | None = None
    block: str | None = None
    taper: Taper = Taper.LEVEL


@dataclass(frozen=True, eq=False)
class WireCut:
    """One set-up: what is cut, along which path, by which program, and how well that was proved.

    Attributes
    ----------
    name
        Of its file: ``profile``, ``profile-left``, ``profile-right``, ``outline``.
    part, path
        What is cut and where the wire runs.
    block
        The block it is cut from (``None``: the half from the set-up before).
    kerf
        Width of the kerf at the mean feed, metres.
    riser
        How high the foam stands on boards, metres.
    text
        The program.
    sweep
        How far the swept part, read back from the program's text, is from the part.
    steps
        What the person does, in order.
    """

    name: str
    part: Part
    path: WirePath
    block: Block | None
    kerf: float
    riser: float
    text: str
    sweep: Sweep
    steps: tuple[str, ...]


def wire_cuts(cut: CloseCut, machine: WireMachine, wanted: Wanted | None = None) -> tuple[WireCut, ...]:
    """Return the set-ups that make a close-cut blank, in the order they are cut.

    Parameters
    ----------
    cut
        The blank; with a stringer it is cut as two halves.
    machine
        The machine.
    wanted
        Feed, block, taper.

    Returns
    -------
    tuple of WireCut
        The profile (both halves, or left and right where they taper), then the outline of a half.

    Raises
    ------
    InputError
        Polyurethane; a block too small; a machine too short; a feed without a kerf; an offset that would
        cross itself. Nothing is written.
    FaultError
        The program, read back, does not leave the part.
    """
    asked = Wanted() if wanted is None else wanted
    refuse_polyurethane(cut.foam, f"foam of {cut.id}")
    _check_request(cut, machine, asked)
    feed = machine.feed if asked.feed is None else asked.feed
    block = block_for(cut, machine, asked.block)
    profile = profile_part(cut, _depth(cut), _place(cut, machine), asked.taper)
    cuts = [_cut(profile, cut, machine, feed, block)]
    if asked.taper is Taper.FALLING:
        other = Part(profile.name, profile.far, profile.near, profile.closed, profile.depth)
        cuts = [
            replace(cuts[0], name="profile-left"),
            replace(_cut(other, cut, machine, feed, block), name="profile-right"),
        ]
    return (*cuts, _cut(outline_part(cut), cut, machine, feed, None))


def block_for(cut: CloseCut, machine: WireMachine, name: str | None) -> Block:
    """Return the named block, or the smallest one of the cut's foam that holds the profile.

    Raises
    ------
    InputError
        There is no such block, or none holds it; says by how much each misses.
    """
    require_block(machine, name)
    known = [block for block in machine.blocks if name is None or block.name == name]
    misses = {block.name: _misses(cut, machine, block) for block in known}
    fitting = [block for block in known if not misses[block.name]]
    if fitting:
        return min(fitting, key=lambda b: (b.length * b.width * b.height, b.name))
    raise InputError(
        [
            Problem(
                f"block {block}",
                f"is too small for {cut.id}: {'; '.join(short)}.",
                "Use a larger block: [[block]] in the machine sheet (--machine) says its sizes.",
            )
            for block, short in misses.items()
        ]
    )


def require_block(machine: WireMachine, name: str | None) -> None:
    """Raise unless the machine has a block of that name, or none is named.

    Raises
    ------
    InputError
        It has none; says which there are.
    """
    if name is not None and name not in {block.name for block in machine.blocks}:
        names = ", ".join(block.name for block in machine.blocks)
        raise InputError(Problem(f"block {name}", "is not in the machine sheet.", f"It can be {names}."))


def needed_height(cut: CloseCut, machine: WireMachine) -> float:
    """Return the height of foam that a profile takes in a block, margins and kerf included; metres."""
    return float(np.max(cut.high)) + _place(cut, machine)[1] + machine.margin + machine.kerf.widths[0]


def _misses(cut: CloseCut, machine: WireMachine, block: Block) -> list[str]:
    needs = {
        "length": (cut.length + 2.0 * machine.margin, block.length),
        "height": (needed_height(cut, machine), block.height),
        "width": (_depth(cut), block.width),
    }
    return [
        f"its {side} of {have * SHOWN:.0f} mm is {(need - have) * SHOWN:.0f} mm short"
        for side, (need, have) in needs.items()
        if need > have + 1e-9
    ]


def _depth(cut: CloseCut) -> float:
    return cut.halves_width if cut.stringer.width > 0.0 else cut.width


def _place(cut: CloseCut, machine: WireMachine) -> tuple[float, float]:
    """Where the blank lies in the block: the wire's runs past its ends must stay off the bed."""
    lowest_end = float(min(cut.low[0], cut.low[-1]))
    runs_past = 2.0 * machine.overshoot + machine.kerf.widths[0]
    return machine.margin, machine.margin + max(0.0, runs_past - lowest_end)


def _check_request(cut: CloseCut, machine: WireMachine, asked: Wanted) -> None:
    problems = own_line_problems(machine)
    if asked.taper is Taper.FALLING and machine.carriages is Carriages.TOGETHER:
        problems.append(
            Problem(
                f"machine {machine.name}",
                "moves both ends of the wire together and cannot cut a taper.",
                "Cut it level, or on a machine with carriages apart.",
            )
        )
    if asked.taper is Taper.FALLING and cut.stringer.width == 0.0:
        problems.append(
            Problem(cut.id, "has no stringer, so no halves to taper.", "Cut it level, or give a stringer.")
        )
    feed = machine.feed if asked.feed is None else asked.feed
    if not machine.slowest <= feed <= machine.fastest:
        limits = f"{machine.slowest * 60e3:.0f} to {machine.fastest * 60e3:.0f} mm/min"
        problems.append(
            Problem("feed", f"{feed * 60e3:.0f} mm/min is outside the machine's {limits}.", "Choose another.")
        )
    if problems:
        raise InputError(problems)


def _cut(part: Part, cut: CloseCut, machine: WireMachine, feed: float, block: Block | None) -> WireCut:
    foam = cut.length if block is None else block.length
    path = wire_path(part, machine, feed, (-machine.lead, foam + machine.lead))
    riser = _riser(path, machine)
    ends = carriage_points(path, machine, riser)
    _check_travel(part, ends, machine)
    _check_speeds(part, ends, path, machine)
    kerf = float(machine.kerf.at(feed))
    boards = f"The foam stands on boards {riser * SHOWN:.0f} mm high, the whole length."
    steps = (*_steps(part, cut, block), *((boards,) if riser > 0.0 else ()))
    facts = (
        f"Kerf {kerf * SHOWN:.2f} mm at {feed * 60e3:.0f} mm/min; wire through {part.depth * SHOWN:.0f} mm."
    )
    text = program_text(path, machine, SetUp(f"{part.name} of {cut.id}", (*steps, facts), riser))
    sweep = swept(part, path_of(text, machine, path, riser), machine.kerf)
    if not sweep.holds:
        raise FaultError(
            f"the {part.name} of {cut.id}: the swept part misses by {sweep.worst * SHOWN:.3f} mm, more than "
            f"{TOLERANCE * SHOWN:.1f} mm; nothing was written"
        )
    return WireCut(part.name, part, path, block, kerf, riser, text, sweep, steps)


def _riser(path: WirePath, machine: WireMachine) -> float:
    """How high the foam must stand so that neither end of the wire meets the bed, to whole 5 mm."""
    lowest = float(np.min(carriage_points(path, machine)[:, [1, 3]]))
    return 0.005 * float(np.ceil(max(-lowest, 0.0) / 0.005 - 1e-9))


def _check_travel(part: Part, points: Floats, machine: WireMachine) -> None:
    along, up = points[:, [0, 2]], points[:, [1, 3]]
    tests = (
        ("along", "along the board", float(np.ptp(along)), machine.along),
        ("up", "upwards", float(np.max(up)), machine.up),
        ("span", "of wire beyond its near end in the foam", part.depth, machine.span - machine.near_gap),
    )
    problems = [
        Problem(
            f"machine {machine.name}",
            f"is too short for the {part.name}: it needs {need * SHOWN:.0f} mm {what} and has "
            f"{have * SHOWN:.0f} mm.",
            f"Use a larger machine ({key} in the machine sheet, --machine) or a shorter blank.",
        )
        for key, what, need, have in tests
        if need > have + 1e-9
    ]
    if problems:
        raise InputError(problems)


def _check_speeds(part: Part, ends: Floats, path: WirePath, machine: WireMachine) -> None:
    """Raise where an end of the wire would have to run faster than its carriage can."""
    limit = machine.carriage_fastest
    if limit is None:
        return
    steps = np.diff(ends, axis=0)
    speeds = np.maximum(np.hypot(steps[:, 0], steps[:, 1]), np.hypot(steps[:, 2], steps[:, 3])) / path.seconds
    fastest = float(np.max(speeds))
    if fastest > limit * 1.000001:
        raise InputError(
            Problem(
                f"machine {machine.name}",
                f"one end of the wire would run at {fastest * 60e3:.0f} mm/min in the {part.name}; its "
                f"carriage reaches {limit * 60e3:.0f} (carriage_fastest_mm_min).",
                "Cut more slowly (--feed), with equal profiles, or on a machine whose carriages are faster.",
            )
        )


def _steps(part: Part, cut: CloseCut, block: Block | None) -> tuple[str, ...]:
    if part.name == "outline":
        return (
            f"Outline of a half of {cut.id}: {cut.length * SHOWN:.0f} mm long.",
            "Stand the half on its stringer face, tail at zero, both ends weighted; if the wire is long "
            "enough, lay the second half beside it turned over, stringer faces down.",
            "Then glue the stringer between the halves, its curve from the bottom of a half, and let it set.",
        )
    assert block is not None
    halves = "Two halves: slice the block in strips, or cut its whole width and slice after."
    return (
        f"Profile of {cut.id}: {cut.length * SHOWN:.0f} mm, foam {part.depth * SHOWN:.0f} mm across.",
        f"Block {block.name}: {block.length * SHOWN:.0f} x {block.width * SHOWN:.0f} x "
        f"{block.height * SHOWN:.0f} mm, {block.foam}; its tail end at zero, flat on the bed, weighted.",
        *((halves,) if cut.stringer.width > 0.0 else ()),
        *(
            ("Stringer at the near face for the left half, at the far face for the right.",)
            if part.tapered
            else ()
        ),
    )
