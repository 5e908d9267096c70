"""What a key of the workbench makes of a sheet: a step of a number, an entry more or less, a rail."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from foamwright.board.written import BoardSheet
from foamwright.sheets.declared import declared_at, keys_of
from foamwright.units import write_length
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.numerals import Bench
from foamwright.web.planning.rows import way_of
from foamwright.web.planning.sheet_text import changed_text, value_at, with_entry, without_entry

_STEP = re.compile(r"(?P<name>.+)\|(?P<marks>-?[0-9]{1,4})")


def made(draft: Draft, key: str) -> Draft:
    """Return what a key makes of a draft.

    Parameters
    ----------
    draft
        The board as it stands.
    key
        ``outline/12 from nose|-1`` moves a number by marks, ``outline/12 from nose|let go`` takes it out of
        the sheet, ``+bottom/contour/vee`` adds an entry, ``-bottom/contour/0`` takes one away,
        ``=18 from tail`` gives a station a rail of its own. Anything else makes nothing.
    """
    bench = draft.bench
    if not key or not bench.tree:
        return draft
    if key.startswith("+"):
        return replace(draft, sheet=_added(bench, key[1:]))
    if key.startswith("-") and "|" not in key:
        return replace(draft, sheet=without_entry(draft.sheet, way_of(key[1:])))
    if key.startswith("="):
        return replace(draft, sheet=_own_rail(bench, key[1:]))
    if key.endswith("|let go"):
        return _changed(draft, key.removesuffix("|let go"), "")
    if key.endswith("|saved"):
        return _as_saved(draft, key.removesuffix("|saved"))
    found = _STEP.fullmatch(key)
    row = bench.numeral(found["name"]) if found else None
    if found is None or row is None or row.value is None:
        return draft
    return moved(draft, row.name, row.value + int(found["marks"]) * row.mark)


def moved(draft: Draft, name: str, value: float) -> Draft:
    """Return a draft with one number at another value, on the tape's nearest mark."""
    row = draft.bench.numeral(name)
    if row is None or row.kind in ("word", "text"):
        return draft
    return _changed(draft, name, draft.bench.written(row, row.mark * round(value / row.mark)))


def _changed(draft: Draft, name: str, text: str) -> Draft:
    return replace(draft, sheet=changed_text(draft.sheet, {way_of(name): text}))


def _as_saved(draft: Draft, name: str) -> Draft:
    saved = replace(draft, sheet=draft.stored).bench.numeral(name)
    if saved is None:
        return draft
    return _changed(
        draft,
        name,
        "" if saved.is_fair else f"{value_at(replace(draft, sheet=draft.stored).bench.tree, way_of(name))}",
    )


def _added(bench: Bench, way: str) -> str:
    """A sheet with one more entry: the shape named last, with usual values for what must be written."""
    table, _, rest = way.partition("/")
    key, _, shape = rest.partition("/")
    declared = declared_at(BoardSheet, (table, key))
    if declared is None or declared.model is None or not declared.is_list:
        return bench.sheet
    values: dict[str, Any] = {"shape": shape} if shape and "shape" in keys_of(declared.model) else {}
    for name, field in declared.model.model_fields.items():
        if field.is_required() and name not in values:
            values[name] = _first(bench, name, keys_of(declared.model)[name].reads)
    usual = FIRST.get(shape or key, {})
    return with_entry(bench.sheet, (table, key), {**values, **usual})


FIRST: dict[str, dict[str, str | int]] = {
    "concave": {"depth": "1/8 in"},
    "double concave": {"depth": "1/16 in"},
    "vee": {"depth": "1/8 in"},
    "roll": {"depth": "1/8 in"},
    "channels": {"count": 4, "depth": "1/8 in"},
    "chine": {"width": "2 in", "angle": 20},
    "wing": {"at": "12 in from tail", "step": "1/4 in"},
    "box": {
        "name": "centre",
        "at": "6 in from tail",
        "offset": "0 in",
        "side": "right",
        "length": "6 in",
        "width": "1 in",
        "depth": "3/4 in",
    },
}
"""What a new entry begins with. Common practice, no source."""


def _first(bench: Bench, name: str, reads: Any) -> Any:
    if reads is not None and reads.choices:
        return reads.choices[0]
    if reads is not None and reads.kind == "length":
        return f"{write_length(max(reads.least, 0.0), bench.reader.unit)} {bench.reader.unit}"
    return "12 in from tail" if name == "at" else name


def _own_rail(bench: Bench, place: str) -> str:
    """A sheet whose rails have a mark of their own at a station, as the nearest mark has it."""
    x, rails = bench.stations.x(place), bench.table("rails")
    known = [
        (abs(at - x), key) for key in rails if x is not None and (at := bench.stations.x(key)) is not None
    ]
    if not known or value_at(bench.tree, ("rails", place)) is not None:
        return bench.sheet
    nearest = rails[min(known)[1]]
    changes: dict[tuple[str | int, ...], Any] = (
        {("rails", place, key): f"{value}" for key, value in nearest.items()}
        if isinstance(nearest, dict)
        else {}
    )
    return changed_text(bench.sheet, changes) if changes else bench.sheet
