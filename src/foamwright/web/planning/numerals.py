"""The numbers of a board's sheet as rows to be read and changed, one stop of the workbench after the other.

What there is comes from the sheet's own declaration (`foamwright.sheets.declared`): a key that the sheet
learns has its row here at once. A row's name is the key's way in the sheet, joined by strokes:
``outline/12 from nose``, ``bottom/contour/0/depth``.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from foamwright.board.board import Board
from foamwright.board.written import BoardSheet
from foamwright.errors import InputError
from foamwright.findings import Said
from foamwright.sheets.declared import Declared, Key, declared_at, keys_of, station_of
from foamwright.sheets.fields import UNITS, Kind, SheetModel, StationTable
from foamwright.units import INCH, System, Unit, format_feet, parse_length, write_length
from foamwright.web.catalogue import ENGLISH
from foamwright.web.planning.places import NEAR, Stations, in_their_unit
from foamwright.web.planning.rows import Numeral, Stop, share_of, way_of
from foamwright.web.planning.sheet_text import shown, value_at
from foamwright.web.planning.usual import contour_usual, section_fair
from foamwright.web.rendering import Reader

CURVES = ("outline", "thickness", "rocker")
"""Tables with one length at each station, in the order of their rows."""

WHOLE = "whole"
"""The stop for what belongs to no place."""

MIDDLE = ("wide", "thickest", "apex", "low_at")
"""Keys of a curve that are told in the middle, with those that say where they are."""

USUAL = {
    System.INCH: ("tail", "12 from tail", "centre", "12 from nose", "nose"),
    System.MM: ("tail", "300 from tail", "centre", "300 from nose", "nose"),
}
"""Stops that a board has whether its sheet has them or not; the figures in the unit of that system."""

MARKS = {System.INCH: (INCH / 16, INCH / 32, INCH / 4), System.MM: (0.001, 0.0005, 0.005)}
"""One mark of a width, of a smaller length, and along the board: what one step of a drag is."""

COARSE = {"angle": 1.0, "toe": 0.5, "cant": 1.0, "count": 2.0}
"""One step of what is counted otherwise than in twentieths: degrees, and channels, a pair at a time."""

SMALL = frozenset({"rocker", "thickness", "rails", "deck", "bottom"})
"""Tables whose lengths go by the smaller mark."""

_PLACE = re.compile(r"(.+?) (from|forward of|aft of) (?:the )?(tail|nose|centre|center)")


@dataclass(frozen=True)
class Bench:
    """A board's sheet laid out as stops.

    Attributes
    ----------
    sheet
        Its text; sound TOML.
    reader
        How the visitor reads.
    board
        The board; ``None`` while the numbers make none.
    length
        Metres; of the last board that stood, where this one does not.
    """

    sheet: str
    reader: Reader
    board: Board | None
    length: float
    _memo: dict[str, Stop] = field(default_factory=dict, compare=False)

    @cached_property
    def tree(self) -> dict[str, Any]:
        """The sheet's tables."""
        try:
            return tomllib.loads(self.sheet)
        except tomllib.TOMLDecodeError:
            # What is wrong with it is told by the reader of sheets; here it has no rows.
            return {}

    def table(self, name: str) -> dict[str, Any]:
        """Return a table of the sheet; empty where there is none, or something else."""
        found = self.tree.get(name)
        return found if isinstance(found, dict) else {}

    @cached_property
    def unit(self) -> Unit | None:
        """The unit of the sheet's bare numbers."""
        written = self.tree.get("units")
        return UNITS.get(written.strip().casefold()) if isinstance(written, str) else None

    @cached_property
    def stations(self) -> Stations:
        """The stations of the board."""
        return Stations(self.length, self.unit, self.reader)

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Every stop: the stations from the tail to the nose, the entries of lists, the whole."""
        return (*(place for _, place in self.placed), *self._entries(), WHOLE)

    @cached_property
    def placed(self) -> list[tuple[float, str]]:
        """The stations from tail to nose; of two names for one place, the sheet's own."""
        found: list[tuple[float, str]] = []
        for place in (*self._named(), *self._usual()):
            x = self.stations.x(place)
            if x is not None and not any(abs(x - other) < NEAR for other, _ in found):
                found.append((x, place))
        return sorted(found)

    def stop(self, key: str) -> Stop:
        """Return a stop; of a name that is none, the middle."""
        if key not in self._memo:
            self._memo[key] = self._stop(key)
        return self._memo[key]

    def head(self, key: str) -> Stop:
        """Return a stop without its rows: what it is called and where it stands."""
        if key == WHOLE:
            return Stop(WHOLE, self.reader.words.say("plan.stop.whole"), None, ())
        if "/" in key:
            return Stop(key, self._entry_title(way_of(key)), self._entry_x(way_of(key)), ())
        return Stop(key, self.stations.label(key), self.stations.x(key), ())

    def numeral(self, name: str) -> Numeral | None:
        """Return the row of a name; ``None`` if the sheet declares no such key."""
        path = way_of(name)
        declared = declared_at(BoardSheet, path)
        if declared is None or declared.model is not None:
            return None
        return self._numeral(path, declared, self._fair_of(path, declared))

    def _stop(self, key: str) -> Stop:
        say = self.reader.words.say
        if key == WHOLE:
            return Stop(WHOLE, say("plan.stop.whole"), None, tuple(self._whole()))
        if key in self._entries():
            path = way_of(key)
            return Stop(key, self._entry_title(path), self._entry_x(path), tuple(self._rows(path)))
        x = self.stations.x(key)
        if x is None:
            return self._stop(next(place for at, place in self.placed if abs(at - self.length / 2) < NEAR))
        known = [place for at, place in self.placed if abs(at - x) < NEAR]
        place = known[0] if known else self._name_of(x)
        return Stop(place, self.stations.label(place), x, tuple(self._at_station(place, x)), not known)

    def _name_of(self, x: float) -> str:
        """What the sheet would call a place."""
        return self._moved("", x)

    def _named(self) -> Iterator[str]:
        for table, declared in keys_of(BoardSheet).items():
            if declared.model and issubclass(declared.model, StationTable):
                own = set(keys_of(declared.model)) - {"nose", "tail"}
                yield from (key for key in self.table(table) if key not in own)

    def _usual(self) -> tuple[str, ...]:
        inches = self.unit in (None, Unit.INCH, Unit.FOOT)
        suffix = "" if self.unit in (Unit.INCH, Unit.MM) else (" in" if inches else " mm")
        places = USUAL[System.INCH if inches else System.MM]
        return tuple(re.sub(r"^(\d+)", rf"\1{suffix}", place) for place in places)

    def _entries(self) -> list[str]:
        """The ways to the entries of every list of tables that the sheet declares."""
        found = []
        for table, declared in keys_of(BoardSheet).items():
            for key, inner in keys_of(declared.model).items() if declared.model else ():
                entries = value_at(self.tree, (table, key))
                if inner.is_list and inner.model and isinstance(entries, list):
                    found += [f"{table}/{key}/{n}" for n in range(len(entries))]
        return found

    def _entry_title(self, path: tuple[Key, ...]) -> str:
        words, entry = self.reader.words, value_at(self.tree, path)
        named = entry.get("shape") or entry.get("name") or "" if isinstance(entry, dict) else ""
        key = f"plan.stop.{path[0]}-{path[1]}"
        kind = words.say(key) if words.has(key) else str(path[1])
        shape = f"plan.shape.{str(named).replace(' ', '-')}"
        return f"{kind}: {words.say(shape) if words.has(shape) else named}" if named else kind

    def _entry_x(self, path: tuple[Key, ...]) -> float | None:
        entry = value_at(self.tree, path)
        full = entry.get("full", entry.get("at", entry.get("from"))) if isinstance(entry, dict) else None
        place = full[-1] if isinstance(full, list) and full else full
        return self.stations.x(place) if isinstance(place, str) else None

    def _at_station(self, place: str, x: float) -> Iterator[Numeral]:
        middle = abs(x - self.length / 2) < NEAR
        for table in CURVES:
            name = self._own_name(table, place, x)
            if not middle or value_at(self.tree, (table, name)) is not None:
                yield from self._at((table, name))
            if middle:
                yield from self._own_keys(
                    table, lambda key: key.removesuffix("_at") in MIDDLE or key in MIDDLE
                )
            elif place in ("tail", "nose"):
                yield from self._own_keys(table, lambda key: key.startswith(f"{place}_"))
        for table, declared in keys_of(BoardSheet).items():
            if table in CURVES or not (declared.model and issubclass(declared.model, StationTable)):
                continue
            name = self._own_name(table, place, x)
            optional = not station_of(declared.model).needs
            if optional or value_at(self.tree, (table, name)) is not None:
                yield from self._rows((table, name))

    def _own_keys(self, table: str, belongs: Any) -> Iterator[Numeral]:
        model = keys_of(BoardSheet)[table].model
        for key, declared in keys_of(model).items() if model else ():
            if key in ("nose", "tail") or not belongs(key):
                continue
            if declared.model is None:
                yield self._numeral((table, key), declared, None)
            elif value_at(self.tree, (table, key)) is not None:
                yield from self._rows((table, key))

    def _rows(self, path: tuple[Key, ...]) -> Iterator[Numeral]:
        """The rows of a table: every key that its model declares and its kind knows."""
        found = declared_at(BoardSheet, path)
        model: type[SheetModel] | None = found.model if found else None
        usual = contour_usual(value_at(self.tree, path), self.length) if path[0] == "bottom" else None
        for key, declared in keys_of(model).items() if model else ():
            at = (*path, key)
            value = value_at(self.tree, at)
            if declared.model is not None or (usual is not None and key not in usual and value is None):
                continue
            if isinstance(value, list):
                yield from (self._numeral((*at, n), declared, None) for n in range(len(value)))
            else:
                yield self._numeral(at, declared, self._fair_of(at, declared))

    def _fair_of(self, path: tuple[Key, ...], declared: Declared) -> float | None:
        """What a key has where the sheet says nothing."""
        if len(path) < 3:
            fair = self._fair_at(path)
            return declared.default if fair is None else fair
        table = path[:-1]
        if path[0] == "bottom":
            usual = contour_usual(value_at(self.tree, table), self.length) or {}
        else:
            usual = section_fair(self.board, table, self.stations.x(str(table[-1])))
        return usual.get(str(path[-1]), declared.default)

    def _whole(self) -> Iterator[Numeral]:
        for key, declared in keys_of(BoardSheet).items():
            if declared.model is None and key != "units":
                yield self._numeral((key,), declared, None)
            elif declared.model is not None and not issubclass(declared.model, StationTable):
                yield from (
                    self._numeral((key, inner), its, None)
                    for inner, its in keys_of(declared.model).items()
                    if its.model is None and not its.is_list
                )

    def _at(self, path: tuple[Key, ...]) -> Iterator[Numeral]:
        declared = declared_at(BoardSheet, path)
        if declared is not None and declared.model is None:
            yield self._numeral(path, declared, self._fair_at(path))

    def _fair_at(self, path: tuple[Key, ...]) -> float | None:
        if self.board is None or len(path) != 2 or path[0] not in CURVES:
            return None
        x = self.stations.x(str(path[1]))
        if x is None:
            return None
        board = self.board
        curves = {"outline": board.half_width, "rocker": board.rocker, "thickness": board.thickness}
        return float(curves[str(path[0])](x)) * (2.0 if path[0] == "outline" else 1.0)

    def _own_name(self, table: str, place: str, x: float) -> str:
        """What a table of the sheet calls a station: another table may call it otherwise."""
        for key in self.table(table):
            other = self.stations.x(key)
            if other is not None and abs(other - x) < NEAR:
                return str(key)
        return place

    def _numeral(self, path: tuple[Key, ...], declared: Declared, fair: float | None) -> Numeral:
        written = value_at(self.tree, path)
        kind = "along" if declared.is_station else declared.kind.value
        value = self._value(kind, written, fair)
        reads = declared.reads
        choices = reads.choices if reads else ()
        return Numeral(
            name="/".join(str(key) for key in path),
            label=self._label(path),
            hint=self._hint(declared.description),
            kind=kind,
            text=self._text(kind, path, written, fair),
            value=value,
            mark=self.mark(kind, path),
            least=0.0 if kind == "along" else (reads.least if reads else 0.0),
            most=self.length if kind == "along" else (reads.most if reads else 0.0),
            choices=choices,
            is_fair=written is None,
        )

    def _hint(self, description: str) -> str:
        """What a key is; nothing where it cannot be said in the visitor's language."""
        is_known = isinstance(description, Said) or self.reader.words.language == ENGLISH
        return self.reader.said(description) if is_known else ""

    def _label(self, path: tuple[Key, ...]) -> str:
        words = [str(key) for key in path if not isinstance(key, int)]
        model = keys_of(BoardSheet).get(words[0])
        is_own = len(words) == 2 and model and model.model and words[1] in keys_of(model.model)
        at_station = words[0] in CURVES and not (is_own and words[1] not in ("nose", "tail"))
        key = words[0] if at_station else f"{words[0]}-{words[-1]}" if len(words) > 1 else words[0]
        for name in (f"plan.number.{key}", f"plan.number.{words[-1]}"):
            if self.reader.words.has(name):
                return self.reader.words.say(name)
        return words[-1].replace("_", " ").capitalize()

    def _value(self, kind: str, written: object, fair: float | None) -> float | None:
        try:
            if kind == "length":
                return fair if written is None else parse_length(written, self.unit)
            if kind == "along":
                return fair if not isinstance(written, str) else self.stations.x(written)
        except InputError:
            return fair
        if kind != "number" or written is None:
            return fair
        return share_of(written)

    def _text(self, kind: str, path: tuple[Key, ...], written: object, fair: float | None) -> str:
        if written is None and fair is not None:
            if kind == "along":
                return self._moved("", fair)
            return f"{fair:g}" if kind == "number" else in_their_unit(f"{fair:.9f} m", self.reader, None)
        if written is None:
            return ""
        if kind != "length":
            return shown(written)
        return (
            shown(written)
            if path == ("length",) and self._is_own
            else in_their_unit(written, self.reader, self.unit)
        )

    @property
    def _is_own(self) -> bool:
        return self.reader.unit is self.unit

    def mark(self, kind: str, path: tuple[Key, ...]) -> float:
        """Return one step of a drag of a number."""
        wide, small, along = MARKS[self.reader.lengths]
        if kind == Kind.NUMBER:
            return COARSE.get(str(path[-1]), 0.05)
        if kind == "along" or path == ("length",):
            return along
        return small if path[0] in SMALL else wide

    def written(self, numeral: Numeral, value: float) -> str:
        """Return a value as the sheet's key takes it: lengths and stations in the visitor's own unit."""
        value = min(max(value, numeral.least), numeral.most)
        if numeral.kind == "along":
            return self._moved(numeral.text, value)
        if numeral.kind == "number":
            is_apex = numeral.name.endswith("/apex")
            return f"{100 - 100 * value:.4g}/{100 * value:.4g}" if is_apex else f"{value:.4g}"
        if numeral.name == "length" and self.reader.lengths is System.INCH:
            feet = format_feet(value)
            return feet if abs(parse_length(feet) - value) < 1e-6 else self._length(value)
        return self._length(value)

    def _length(self, metres: float) -> str:
        """A length to a 64th or a tenth of a millimetre, exactly on its mark, as the visitor writes it."""
        unit, parts = (Unit.INCH, 64) if self.reader.lengths is System.INCH else (Unit.MM, 10)
        marks = round(metres / float(unit.exact / parts))
        text = write_length(float(marks * unit.exact / parts), unit)
        return text if self._is_own else f"{text} {self.reader.unit}"

    def _moved(self, place: str, x: float) -> str:
        """A station's name moved to another place, measured from where it was."""
        found = _PLACE.fullmatch(" ".join(place.split()).casefold())
        way = found[3] if found else "tail" if x < self.length / 2 else "nose"
        if way == "tail":
            return f"{self._length(x)} from tail"
        if way == "nose":
            return f"{self._length(self.length - x)} from nose"
        off = x - self.length / 2
        return (
            "centre"
            if abs(off) < 1e-6
            else f"{self._length(abs(off))} {'forward' if off > 0 else 'aft'} of centre"
        )
