"""What a sheet's model declares, key by key, for whoever shows a sheet as fields: no second list of keys."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from foamwright.sheets.fields import Kind, Reads, SheetModel, StationTable

Key = str | int


@dataclass(frozen=True)
class Declared:
    """What stands at a key.

    Attributes
    ----------
    reads
        How its value is read; ``None`` for a table, a list, or a value that no plain reader takes.
    description
        What the key is, in a few words.
    model
        The model of a table, or of the entries of a list.
    is_list
        Whether it is a list of tables.
    default
        The number that is taken where the sheet says nothing; ``None`` where there is none such.
    """

    reads: Reads | None
    description: str
    model: type[SheetModel] | None = None
    is_list: bool = False
    default: float | None = None

    @property
    def kind(self) -> Kind:
        """What its value is; a text where no reader says more."""
        return self.reads.kind if self.reads else Kind.TEXT

    @property
    def needs(self) -> tuple[str, ...]:
        """The keys that a table cannot do without."""
        fields = self.model.model_fields if self.model else {}
        return tuple(name for name, one in fields.items() if one.is_required())

    @property
    def is_station(self) -> bool:
        """Whether its value names a station."""
        return getattr(self.reads and self.reads.what, "key", "") == "sheet.of.station"


def declared_at(model: type[SheetModel], path: tuple[Key, ...]) -> Declared | None:
    """Return what a model declares at the way to a key; ``None`` if it knows no such key."""
    declared: Declared | None = None
    table: type[SheetModel] | None = model
    for key in path:
        if isinstance(key, int):
            continue
        if table is None:
            return None
        declared = keys_of(table).get(key) or (station_of(table) if issubclass(table, StationTable) else None)
        if declared is None:
            return None
        table = declared.model
    return declared


@cache
def keys_of(model: type[SheetModel]) -> Mapping[str, Declared]:
    """Return the keys that a model names, as a sheet writes them, in the order of their declaration."""
    return {
        field.alias or name: replace(
            _declared(field.annotation, tuple(field.metadata), field.description or ""),
            default=_number(field.default),
        )
        for name, field in model.model_fields.items()
    }


@cache
def station_of(model: type[StationTable]) -> Declared:
    """Return what stands at the stations of a table."""
    hint = get_type_hints(model, include_extras=True)["__pydantic_extra__"]
    return _declared(get_args(hint)[1], (), "")


def _declared(annotation: Any, metadata: tuple[Any, ...], description: str) -> Declared:
    plain, found = _stripped(annotation)
    reads = next((one for one in (*metadata, *found) if isinstance(one, Reads)), None)
    if get_origin(plain) in (list, tuple):
        inner, found = _stripped(get_args(plain)[0])
        reads = reads or next((one for one in found if isinstance(one, Reads)), None)
        return Declared(reads, description, _model(inner), True)
    return Declared(reads, description, _model(plain))


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _stripped(annotation: Any) -> tuple[Any, tuple[Any, ...]]:
    """An annotation without `None` and without its metadata, and the metadata."""
    found: tuple[Any, ...] = ()
    while True:
        if hasattr(annotation, "__metadata__"):
            found = (*found, *annotation.__metadata__)
            annotation = annotation.__origin__
        elif get_origin(annotation) in (Union, types.UnionType):
            inner = [one for one in get_args(annotation) if one is not type(None)]
            models = [one for one in inner if _model(one)]
            annotation = (models or inner)[0]
        else:
            return annotation, found


def _model(annotation: Any) -> type[SheetModel] | None:
    is_model = isinstance(annotation, type) and issubclass(annotation, SheetModel)
    return annotation if is_model else None
