"""What pydantic found wrong with the shape of a sheet, told as a person needs it."""

from __future__ import annotations

import typing
from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from foamwright.errors import FaultError
from foamwright.findings import said
from foamwright.sheets.fields import BARE, HOLE, PROBLEM, SheetModel, StationTable, did_you_mean
from foamwright.sheets.locate import Path
from foamwright.units import Unit, quoted

M = TypeVar("M", bound=SheetModel)

STATION_WORDS = ("nose", "tail", "centre", "center")
"""Stations that are named without a distance."""

TOP_OF_SHEET = said("sheet.top", "It belongs at the top of the sheet, above the first [table].")
"""Remedy for a key of the whole sheet that slipped into a table."""

_MOST_PASSES = 8

Note = Callable[[str, Path, str, str], None]
"""Takes a problem: its kind, its path, what was read, the remedy."""


def read_with_holes(model: type[M], tree: dict[str, Any], unit: Unit | None, note: Note) -> M:
    """Return the sheet with a hole at every problem, each of which goes to `note`; `tree` is changed."""
    for _ in range(_MOST_PASSES):
        try:
            return model.model_validate(tree, context={"unit": unit})
        except ValidationError as why:
            for error in why.errors(include_url=False):
                if not _in_stray_key(model, error["loc"]):
                    note(_kind(error), error["loc"], *_told(model, error))
                _dig_hole(tree, error["loc"], error["type"])
    raise FaultError(f"{model.__name__} could not be read around its problems.")


def keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Return the fields of a table by the keys that people write."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def is_stray(key: str) -> bool:
    """Tell whether a key is meant as a word, not as a station: it holds no number."""
    return key not in STATION_WORDS and not any(sign.isdigit() for sign in key)


def _kind(error: ErrorDetails) -> str:
    return BARE if error["type"] == BARE else PROBLEM


def _told(model: type[SheetModel], error: ErrorDetails) -> tuple[str, str]:
    """What was read and the remedy."""
    path, kind = error["loc"], error["type"]
    if kind in {PROBLEM, BARE}:
        return error["ctx"]["what"], error["ctx"]["remedy"]
    asked = _field(model, path)
    example = (asked.examples or [""])[0] if asked else ""
    if kind == "missing":
        return missing(str(path[-1])), _add(example, (asked.description if asked else "") or "")
    if kind == "extra_forbidden":
        unknown = said("sheet.unknown-key", "The key “{key}” is unknown.", key=str(path[-1]))
        return unknown, _known_keys(model, path)
    if kind in {"model_type", "dict_type", "model_attributes_type"}:
        return (
            said("sheet.no-table", "{what} stands where a table belongs.", what=_shown(error["input"])),
            said("sheet.no-table.remedy", "Write {example} once, with its keys.", example=example),
        )
    if kind == "list_type":
        return (
            said("sheet.no-entries", "{what} stands where entries belong.", what=_shown(error["input"])),
            said("sheet.no-entries.remedy", "Write {example}, once for each.", example=example),
        )
    # No kind of value that a sheet has leads here; pydantic's own words are better than none.
    cannot = said("sheet.cannot-stand", "{written} cannot stand here.", written=quoted(error["input"]))
    return cannot, said("sheet.reason", "{reason}.", reason=error["msg"])


def missing(key: str) -> str:
    """Return the words for a key that is missing."""
    return said("sheet.missing", "“{key}” is missing.", key=key)


def _add(example: str, description: str) -> str:
    return said("sheet.add", "Add {example}: {description}.", example=example, description=description)


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return said("sheet.single-table", "A single table")
    return said("sheet.list", "A list") if isinstance(value, list) else quoted(value)


def _known_keys(model: type[SheetModel], path: Path) -> str:
    inner, key = _model_at(model, path[:-1]), str(path[-1])
    if len(path) > 1 and key in keys_of(model):
        return TOP_OF_SHEET
    return did_you_mean(key, list(keys_of(inner))) if inner else said("sheet.take-away", "Take it away.")


def _field(model: type[SheetModel], path: Path) -> FieldInfo | None:
    names = [part for part in path if isinstance(part, str)]
    inner = _model_at(model, tuple(names[:-1]))
    return keys_of(inner).get(names[-1]) if inner and names else None


def _in_stray_key(model: type[SheetModel], path: Path) -> bool:
    """Whether the problem is with the value of a key that will be told as unknown anyway."""
    return any(
        isinstance(key, str) and is_stray(key) and key not in keys_of(inner)
        for key, inner in zip(path, _models_along(model, path), strict=False)
        if inner is not None and issubclass(inner, StationTable)
    )


def _model_at(model: type[SheetModel], path: Path) -> type[SheetModel] | None:
    return list(_models_along(model, path))[-1]


def _models_along(model: type[SheetModel], path: Path) -> Iterable[type[SheetModel] | None]:
    """The model of each table on the way, the outermost first; `None` beyond the last table."""
    inner: type[SheetModel] | None = model
    yield inner
    for part in path:
        if isinstance(part, str) and inner is not None:
            inner = _model_in(_annotation(inner, part))
        yield inner


def _annotation(model: type[SheetModel], key: str) -> Any:
    asked = keys_of(model).get(key)
    return asked.annotation if asked else typing.get_type_hints(model).get("__pydantic_extra__")


def _model_in(annotation: Any) -> type[SheetModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, SheetModel):
        return annotation
    return next(filter(None, map(_model_in, typing.get_args(annotation))), None)


def _dig_hole(tree: Any, path: Path, kind: str) -> None:
    """Put a hole at `path`, or around it where there is no such place; take an unknown key away."""
    for part, inner in pairwise(path):
        if not _can_hold(tree[part], inner):
            tree[part] = HOLE
            return
        tree = tree[part]
    if kind == "extra_forbidden":
        del tree[path[-1]]
    else:
        tree[path[-1]] = HOLE


def _can_hold(node: Any, key: str | int) -> bool:
    return isinstance(node, dict) or (isinstance(node, list) and isinstance(key, int) and key < len(node))
