"""Sheets from before sections were told in lengths: refused with how to say it now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foamwright.errors import InputError, Problem
from foamwright.findings import said
from foamwright.sheets.document import Document
from foamwright.sheets.locate import Path


def refuse_old_form(document: Document) -> None:
    """Raise where a board sheet speaks of roundness exponents, bottoms at stations or a rocker's apex.

    Raises
    ------
    InputError
        It does: one problem that says what to write instead.
    """
    found = [*_rails(document.tree), *_bottom(document.tree), *_rocker(document.tree)]
    if not found:
        return
    first = min(found, key=document.line)
    raise InputError(
        Problem(
            document.where(first),
            said(
                "sheet.old-form",
                "This sheet is in the old form: rails, bottom or low point are told otherwise now.",
            ),
            said(
                "sheet.old-form.remedy",
                'A rail: centre = {{ apex = "60/40", tuck = "1/2" }}, what is above and below its outermost '
                'point, and how far in the flat bottom ends (no lower or upper; edge = "hard" if it is). '
                "The deck: "
                '[deck] centre = {{ crown = "5/16", roll = "2 1/4" }}. A contour: [[bottom.contour]] with '
                'shape = "concave", depth = "3/16", from, full and to; flat is where there is none. '
                "The low point: low_at in [rocker], not apex.",
            ),
        )
    )


def _rails(tree: Mapping[str, Any]) -> list[Path]:
    rails = tree.get("rails")
    stations = rails.items() if isinstance(rails, dict) else ()
    return [
        ("rails", str(place))
        for place, rail in stations
        if isinstance(rail, dict) and ({"lower", "upper"} & rail.keys())
    ]


def _bottom(tree: Mapping[str, Any]) -> list[Path]:
    bottom = tree.get("bottom")
    stations = bottom.items() if isinstance(bottom, dict) else ()
    return [
        ("bottom", str(place)) for place, shape in stations if isinstance(shape, dict) and "shape" in shape
    ]


def _rocker(tree: Mapping[str, Any]) -> list[Path]:
    rocker = tree.get("rocker")
    return [("rocker", "apex")] if isinstance(rocker, dict) and "apex" in rocker else []
