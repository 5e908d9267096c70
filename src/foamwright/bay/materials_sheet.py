"""Reading a materials sheet."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import Any, TypeVar

from foamwright.bay.materials import (
    FOUR_OUNCE,
    OUNCE_PER_SQUARE_YARD,
    POLYESTER,
    SIX_OUNCE,
    Cloth,
    Coats,
    CoreFoam,
    Fibre,
    Fittings,
    Hours,
    Layup,
    Materials,
    Resin,
    ResinKind,
    Wood,
)
from foamwright.bay.materials_written import ClothTable, LayupTable, MaterialsSheet, ResinTable
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.fields import SheetModel
from foamwright.sheets.opening import OpenSheet, open_sheet
from foamwright.units import quoted

Opened = OpenSheet[MaterialsSheet]
T = TypeVar("T", CoreFoam, Wood, Fibre, Resin, Coats, Fittings, Hours)

SI = {"_kg_m3": 1.0, "_mpa": 1e6, "_gpa": 1e9, "_kpa": 1e3, "_g_m2": 1e-3, "_g": 1e-3, "_m3": 1.0, "_kg": 1.0}
"""Endings of keys, longest match first, and what they are in SI."""


def read_materials(path: str | os.PathLike[str]) -> Materials:
    """Return the materials in a sheet; what the sheet leaves away is as usual, ``Materials()``.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def materials_from_text(text: str, name: str) -> Materials:
    """Return the materials in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def _read(document: Document) -> Materials:
    sheet = open_sheet(MaterialsSheet, document)
    materials = _materials(sheet)
    sheet.problems.finish()
    return materials


def _materials(sheet: Opened) -> Materials:
    written, usual = sheet.written, Materials()
    materials = replace(
        usual,
        foam=_filled(usual.foam, written.foam),
        wood=_filled(usual.wood, written.wood),
        fibre=_filled(usual.fibre, written.fibre),
        resin=_resin(written.resin),
        coats=_filled(usual.coats, written.coats),
        fittings=_filled(usual.fittings, written.fittings),
        hours=_filled(usual.hours, written.hours),
        share=usual.share if written.share is None else written.share,
        margin=usual.margin if written.margin is None else written.margin,
    )
    cloths = {cloth.name: cloth for cloth in (FOUR_OUNCE, SIX_OUNCE, *_cloths(sheet))}
    if written.layup is None:
        return materials
    layup = _layup(sheet, written.layup, cloths)
    return replace(materials, short=layup, long=layup)


def _resin(written: ResinTable) -> Resin:
    """Return the resin: a polyester has polyester's usual numbers; one named without its kind is epoxy."""
    if written.kind is ResinKind.POLYESTER:
        return _filled(POLYESTER, written)
    kind = ResinKind.EPOXY if written.name is not None else None
    return _filled(Resin(kind=kind), written)


def _filled(usual: T, table: SheetModel) -> T:
    """Return the usual numbers with those of a table in their place, in SI."""
    given = dict(_in_si(key, value) for key, value in dict(table).items() if value is not None)
    return replace(usual, **given)


def _in_si(key: str, value: Any) -> tuple[str, Any]:
    for ending, factor in SI.items():
        if key.endswith(ending) and isinstance(value, float):
            name = key.removesuffix(ending)
            return name, value * factor
    return key, value


def _cloths(sheet: Opened) -> list[Cloth]:
    return [_cloth(sheet, place, written) for place, written in enumerate(sheet.written.cloth)]


def _cloth(sheet: Opened, place: int, written: ClothTable) -> Cloth:
    if (written.oz_yd2 is None) is (written.g_m2 is None):
        sheet.problems.note(
            ("cloth", place, "name"),
            f"The mass of {quoted(written.name)} is not given just once.",
            "Give either oz_yd2 or g_m2.",
        )
    mass = 1e-3 * (written.g_m2 or 0.0) if written.oz_yd2 is None else written.oz_yd2 * OUNCE_PER_SQUARE_YARD
    return Cloth(written.name, mass, written.roll_width, written.price_m2)


def _layup(sheet: Opened, written: LayupTable, cloths: dict[str, Cloth]) -> Layup:
    faces = [_face(sheet, face, names, cloths) for face, names in _faces(written)]
    layup = Layup(faces[0], faces[1])
    lap = layup.lap if written.lap is None else written.lap
    return replace(layup, lap=lap, overhang=layup.overhang if written.overhang is None else written.overhang)


def _faces(written: LayupTable) -> tuple[tuple[str, list[str]], tuple[str, list[str]]]:
    return ("bottom", written.bottom), ("deck", written.deck)


def _face(sheet: Opened, face: str, names: list[str], cloths: dict[str, Cloth]) -> tuple[Cloth, ...]:
    for place, name in enumerate(names):
        if name not in cloths:
            sheet.problems.note(
                ("layup", face, place),
                f"{quoted(name)} is no cloth of this sheet.",
                f"It has {', '.join(cloths)}; add others as [[cloth]].",
            )
    return tuple(cloths[name] for name in names if name in cloths)
