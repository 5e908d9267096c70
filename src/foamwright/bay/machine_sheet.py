"""Reading a machine sheet."""

from __future__ import annotations

import math
import os
from dataclasses import replace
from itertools import pairwise

from foamwright.bay.machine import Block, ControllerWords, Kerf, Terms, WireMachine
from foamwright.bay.machine_written import MachineSheet
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.opening import OpenSheet, open_sheet
from foamwright.units import Unit, quoted

__all__ = ["machine_from_text", "read_machine"]

MM_PER_MINUTE = 1.0 / 60_000.0
"""Metres per second in a millimetre per minute."""

Opened = OpenSheet[MachineSheet]


def read_machine(path: str | os.PathLike[str]) -> WireMachine:
    """Return the machine in a sheet; what the sheet leaves away is as in the usual machine.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def machine_from_text(text: str, name: str) -> WireMachine:
    """Return the machine in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def _read(document: Document) -> WireMachine:
    sheet = open_sheet(MachineSheet, document)
    machine = _machine(sheet.written)
    _check_kerf(sheet, machine)
    _check_feeds(sheet, machine)
    _check_blocks(sheet)
    sheet.problems.finish()
    return machine


def _machine(written: MachineSheet) -> WireMachine:
    given: dict[str, object] = {
        name: getattr(written, name)
        for name in (
            *("name", "currency", "along", "up", "span", "near_gap", "carriages", "axes"),
            *("lead", "overshoot", "margin"),
        )
    }
    for name in ("feed", "slowest", "fastest", "rapid", "carriage_fastest"):
        feed = getattr(written, f"{name}_mm_min")
        given[name] = None if feed is None else feed * MM_PER_MINUTE
    given |= {"kerf": _kerf(written), "terms": _terms(written), "blocks": _blocks(written)}
    given["words"] = _words(written)
    return replace(WireMachine(), **{name: value for name, value in given.items() if value is not None})  # type: ignore[arg-type]


def _kerf(written: MachineSheet) -> Kerf | None:
    rows = written.kerf
    feeds, widths = (row.feed_mm_min * MM_PER_MINUTE for row in rows), (row.width for row in rows)
    return Kerf(tuple(feeds), tuple(widths)) if rows else None


def _words(written: MachineSheet) -> ControllerWords:
    program = written.program
    return ControllerWords(
        heat_on=tuple(program.heat_on),
        heat_off=tuple(program.heat_off),
        heat_seconds=program.heat_seconds or 0.0,
        header=tuple(program.header),
        footer=tuple(program.footer),
        inches=program.units is Unit.INCH,
        park=None if program.park is None else (program.park.along, program.park.up),
    )


def _terms(written: MachineSheet) -> Terms:
    given = {name: value for name, value in dict(written.terms).items() if value is not None}
    return replace(Terms(), **given)


def _blocks(written: MachineSheet) -> tuple[Block, ...] | None:
    return tuple(Block(**dict(block)) for block in written.block) or None


def _check_kerf(sheet: Opened, machine: WireMachine) -> None:
    for n, (slow, fast) in enumerate(pairwise(machine.kerf.feeds)):
        if fast <= slow:
            sheet.problems.note(
                ("kerf", n + 1, "feed_mm_min"), "The feeds do not rise.", "Write the rows slow first."
            )
    if len(machine.kerf.feeds) == 1:
        sheet.problems.note(
            ("kerf", 0), "One row says nothing of other feeds.", "Cut a second test piece at another feed."
        )


def _check_feeds(sheet: Opened, machine: WireMachine) -> None:
    if any(map(math.isnan, (machine.slowest, machine.feed, machine.fastest, *machine.kerf.feeds))):
        # A feed that is no number is a problem of its own already; nothing can be compared with it.
        return
    if not machine.slowest <= machine.feed <= machine.fastest:
        sheet.problems.note(
            ("feed_mm_min",),
            "The usual feed is not between the slowest and the fastest.",
            "Check feed_mm_min, slowest_mm_min and fastest_mm_min.",
        )
    elif not machine.kerf.covers(machine.feed):
        low, high = (round(feed / MM_PER_MINUTE) for feed in (machine.kerf.feeds[0], machine.kerf.feeds[-1]))
        sheet.problems.note(
            ("feed_mm_min",),
            f"The kerf table runs from {low} to {high} mm/min and does not hold the usual feed.",
            "Cut a test piece at that feed, or use one that was measured.",
        )


def _check_blocks(sheet: Opened) -> None:
    seen: set[str] = set()
    for n, block in enumerate(sheet.written.block):
        if block.name in seen:
            sheet.problems.note(
                ("block", n, "name"), f"{quoted(block.name)} is another block too.", "Give each its own name."
            )
        seen.add(block.name)
