"""Reading and writing a bay sheet."""

from __future__ import annotations

import os
from dataclasses import replace
from itertools import pairwise
from typing import TypeVar

from foamwright.bay.bay import (
    Allowances,
    Bay,
    Habits,
    Plane,
    PowerPlaner,
    Prices,
    Rates,
    Tape,
    Weights,
    usual_bay,
)
from foamwright.bay.written import BaySheet, PlaneTable
from foamwright.findings import said
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.opening import OpenSheet, open_sheet
from foamwright.sheets.writing import key, length_value, lines, number_value, text_value
from foamwright.units import Unit, quoted

__all__ = ["bay_from_text", "bay_sheet", "read_bay"]

IRON_SHARE = 0.8
"""Width of an iron as a share of the body's where a sheet does not give it: 2 in irons in 2 1/2 in bodies.
Common practice, no source."""

T = TypeVar("T", Bay, Rates, Tape, Allowances, Prices, Weights, Habits, PowerPlaner)


def read_bay(path: str | os.PathLike[str]) -> Bay:
    """Return the bay in a sheet; what the sheet leaves away is as in the usual bay of its units.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def bay_from_text(text: str, name: str) -> Bay:
    """Return the bay in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def bay_sheet(bay: Bay, unit: Unit = Unit.INCH) -> str:
    """Return a bay sheet in TOML that reads back to the same bay, bit for bit."""
    head = lines(
        key("name", text_value(bay.name)),
        key("units", text_value(unit)),
        key("rail_bands", str(bay.rail_bands)),
    )
    power = [] if bay.power_planer is None else [_power(bay.power_planer, unit)]
    return "\n".join([head, _tables(bay, unit), *power, *(_plane(plane, unit) for plane in bay.planes)])


def _read(document: Document) -> Bay:
    sheet = open_sheet(BaySheet, document)
    _check_planes(sheet)
    sheet.problems.finish()
    return _bay(sheet.written)


def _bay(written: BaySheet) -> Bay:
    usual, rates = usual_bay(written.units or Unit.INCH), written.rates
    return _given(
        usual,
        name=written.name,
        rail_bands=written.rail_bands,
        planes=tuple(map(_plane_of, written.plane)) or None,
        rates=_given(
            usual.rates,
            stringer=rates.stringer_min_per_m2,
            foam=rates.foam_min_per_m3,
            hollow=rates.hollow_factor,
            hard=rates.hard_factor,
            strip=rates.strip_min_per_m,
            stop=rates.stop_min,
            reading=rates.reading_min,
        ),
        tape=_given(usual.tape, **dict(written.tape)),
        allowances=_given(usual.allowances, **dict(written.allowances)),
        power_planer=None
        if written.power_planer is None
        else _given(PowerPlaner(), **dict(written.power_planer)),
        prices=_given(usual.prices, **dict(written.prices)),
        rescue=_given(usual.rescue, **dict(written.rescue)),
        hands=_given(usual.hands, **dict(written.hands)),
    )


def _given(usual: T, **written: object) -> T:
    """The usual thing with what the sheet gives instead."""
    return replace(usual, **{name: value for name, value in written.items() if value is not None})  # type: ignore[arg-type]


def _plane_of(written: PlaneTable) -> Plane:
    iron = IRON_SHARE * written.width if written.iron is None else written.iron
    return Plane(written.name, written.sole, written.mouth, written.width, iron, tuple(written.chips))


def _check_planes(sheet: OpenSheet[BaySheet]) -> None:
    seen: set[str] = set()
    for n, plane in enumerate(sheet.written.plane):
        note, path = sheet.problems.note, ("plane", n)
        if plane.mouth >= plane.sole:
            note(
                (*path, "mouth"),
                said("sheet.mouth", "The mouth lies behind the sole."),
                said("sheet.mouth.remedy", "It is measured from the toe to the iron."),
            )
        if plane.iron is not None and plane.iron > plane.width:
            note(
                (*path, "iron"),
                said("sheet.iron", "The iron is wider than the body."),
                said("sheet.iron.remedy", "Measure both across the plane, the iron along its edge."),
            )
        if not plane.chips and isinstance(sheet.problems.document.tree["plane"][n].get("chips"), list):
            note(
                (*path, "chips"),
                said("sheet.no-chip", "There is no chip."),
                said("sheet.no-chip.remedy", 'Give one at least: chips = ["1/64"].'),
            )
        if any(fine >= coarse for coarse, fine in pairwise(plane.chips)):
            note(
                (*path, "chips"),
                said("sheet.chips", "The chips do not get finer."),
                said("sheet.chips.remedy", "Write them coarse first, each once."),
            )
        if plane.name in seen:
            note(
                (*path, "name"),
                said("sheet.plane-twice", "{name} is another plane too.", name=quoted(plane.name)),
                said("sheet.plane-twice.remedy", "Give each its own name."),
            )
        seen.add(plane.name)


def _tables(bay: Bay, unit: Unit) -> str:
    return "\n".join(
        [
            lines(
                "[rates]",
                key("stringer_min_per_m2", number_value(bay.rates.stringer)),
                key("foam_min_per_m3", number_value(bay.rates.foam)),
                key("hollow_factor", number_value(bay.rates.hollow)),
                key("hard_factor", number_value(bay.rates.hard)),
                key("strip_min_per_m", number_value(bay.rates.strip)),
                key("stop_min", number_value(bay.rates.stop)),
                key("reading_min", number_value(bay.rates.reading)),
            ),
            lines(
                "[tape]",
                key("fraction", str(bay.tape.fraction)),
                key("standard_error", length_value(bay.tape.standard_error, unit)),
            ),
            lines(
                "[allowances]",
                key("saw", length_value(bay.allowances.saw, unit)),
                key("finish", length_value(bay.allowances.finish, unit)),
                key("run_off", length_value(bay.allowances.run_off, unit)),
            ),
            lines(
                "[prices]",
                key("labour_hour", number_value(bay.prices.labour_hour)),
                key("currency", text_value(bay.prices.currency)),
            ),
            _rescue(bay.rescue, unit),
            lines(
                "[hands]",
                key("start", length_value(bay.hands.start, unit)),
                key("each", number_value(bay.hands.each)),
            ),
        ]
    )


def _rescue(weights: Weights, unit: Unit) -> str:
    return lines(
        "[rescue]",
        key("rocker", length_value(weights.rocker, unit)),
        key("thickness", length_value(weights.thickness, unit)),
        key("width", length_value(weights.width, unit)),
        key("concave", length_value(weights.concave, unit)),
    )


def _power(planer: PowerPlaner, unit: Unit) -> str:
    return lines(
        "[power_planer]",
        key("cutter", length_value(planer.cutter, unit)),
        key("chip", length_value(planer.chip, unit)),
    )


def _plane(plane: Plane, unit: Unit) -> str:
    chips = ", ".join(length_value(chip, unit) for chip in plane.chips)
    return lines(
        "[[plane]]",
        key("name", text_value(plane.name)),
        key("sole", length_value(plane.sole, unit)),
        key("mouth", length_value(plane.mouth, unit)),
        key("width", length_value(plane.width, unit)),
        key("iron", length_value(plane.iron, unit)),
        key("chips", f"[{chips}]"),
    )
