"""Opening a sheet: its shape and lengths read by pydantic, its stations placed, every problem gathered."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Generic, TypeVar

from foamwright.errors import InputError, Problem
from foamwright.findings import said
from foamwright.sheets.document import Document
from foamwright.sheets.fields import BARE, UNITS, SheetModel, did_you_mean
from foamwright.sheets.kinds import require_kind
from foamwright.sheets.locate import Path
from foamwright.sheets.shape_problems import STATION_WORDS, TOP_OF_SHEET, is_stray, read_with_holes
from foamwright.sheets.stations import SAME_PLACE, parse_station
from foamwright.stations import Mark
from foamwright.units import BareNumberError, Unit, quoted

M = TypeVar("M", bound=SheetModel)
V = TypeVar("V")

MOST_STATIONS = 200
"""At one curve: a tape's marks an inch and a half apart on the longest board."""


@dataclass(frozen=True, slots=True)
class At(Generic[V]):
    """What a sheet says at a station: metres from the tail, the name it gave, the value."""

    x: float
    place: str
    value: V


@dataclass(slots=True)
class Problems:
    """The problems found so far in one document."""

    document: Document
    _found: list[tuple[int, Problem]] = field(default_factory=list)
    _paths: set[Path] = field(default_factory=set)
    _bare: list[tuple[Path, str, str]] = field(default_factory=list)

    def note(self, path: Path, what: str, remedy: str) -> None:
        """Note that what stands at `path` cannot stand."""
        self._paths.add(path)
        self._found.append((self.document.line(path), Problem(self.document.where(path), what, remedy)))

    def noted(self, *paths: Path) -> bool:
        """Tell whether one of these paths has a problem already; what follows from it need not be told."""
        return not self._paths.isdisjoint(paths)

    def note_bare(self, path: Path, what: str, remedy: str) -> None:
        """Note a number without a unit; however many there are, they are told as one problem."""
        self._bare.append((path, what, remedy))

    def finish(self) -> None:
        """Raise every problem found, in the order of the sheet's lines.

        Raises
        ------
        InputError
            If there was any problem.
        """
        self._tell_bare()
        if self._found:
            raise InputError([problem for _, problem in sorted(self._found, key=lambda found: found[0])])

    def _tell_bare(self) -> None:
        # A wrong word for the unit has its own problem; the numbers under it are not at fault.
        if not self._bare or "units" in self.document.tree:
            return
        path, what, remedy = min(self._bare, key=lambda bare: self.document.line(bare[0]))
        more = len(self._bare) - 1
        self.note(path, _with_more(what, more) if more else what, remedy)


def _with_more(what: str, more: int) -> str:
    return said(
        "sheet.more", "{what} The same goes for {count} more in this sheet.", what=what, count=str(more)
    )


@dataclass(frozen=True, slots=True)
class OpenSheet(Generic[M]):
    """A sheet being read.

    Attributes
    ----------
    written
        What it says, in SI, with holes (``nan``) where something could not be read.
    unit
        What a bare number means; `None` if the sheet does not say.
    problems
        What is wrong with it.
    """

    written: M
    unit: Unit | None
    problems: Problems

    def station(self, path: Path, place: str | None, length: float) -> float | None:
        """Return metres from the tail of a station; `None` if none is named or the name is wrong."""
        if not place:
            return None
        try:
            return parse_station(place, length, self.unit)
        except BareNumberError as why:
            self.problems.note_bare(path, why.problems[0].what, why.problems[0].remedy)
        except InputError as why:
            self.problems.note(path, why.problems[0].what, why.problems[0].remedy)
        return None

    def at_stations(
        self, path: Path, values: Mapping[str, V], length: float, keys: Iterable[str]
    ) -> list[At[V]]:
        """Return what stands at the stations of a table, from tail to nose; `keys` are its other keys."""
        found = []
        for place, value in values.items():
            if is_stray(place):
                self._note_stray((*path, place), keys)
            elif (x := self.station((*path, place), place, length)) is not None:
                found.append(At(x, place, value))
        # Where the length could not be read, the places measured from the nose are nan.
        found.sort(key=lambda at: (math.isnan(at.x), at.x))
        self._note_doubles(path, found)
        self._note_too_many(path, len(found))
        return found

    def marks(
        self, path: Path, values: Mapping[str, float], length: float, keys: Iterable[str]
    ) -> tuple[Mark, ...]:
        """Return the numbers at the stations of a table as marks, from tail to nose."""
        return tuple(Mark(at.x, at.value, at.place) for at in self.at_stations(path, values, length, keys))

    def _note_stray(self, path: Path, keys: Iterable[str]) -> None:
        key, written = str(path[-1]), quoted(path[-1])
        what = said("sheet.stray", "{written} is no key of this table, and no station.", written=written)
        if key in type(self.written).model_fields:
            self.problems.note(path, what, TOP_OF_SHEET)
        else:
            known = dict.fromkeys([*keys, *STATION_WORDS[:3], "12 from nose"])
            self.problems.note(path, what, did_you_mean(key, known))

    def _note_too_many(self, path: Path, count: int) -> None:
        # The time for a curve grows with its stations; nobody marks so many by hand.
        if count > MOST_STATIONS:
            self.problems.note(
                path,
                said(
                    "sheet.stations",
                    "{count} stations are more than the {most} that one curve is made from.",
                    count=str(count),
                    most=str(MOST_STATIONS),
                ),
                said("sheet.stations.remedy", "Keep those that a tape would mark; a fair curve needs few."),
            )

    def _note_doubles(self, path: Path, found: list[At[Any]]) -> None:
        for first, second in pairwise(found):
            if second.x - first.x < SAME_PLACE:
                self.problems.note(
                    (*path, second.place),
                    said(
                        "sheet.same-place",
                        "{first} and {second} are the same place.",
                        first=quoted(first.place),
                        second=quoted(second.place),
                    ),
                    said("sheet.keep-one", "Keep one of them."),
                )


def open_sheet(model: type[M], document: Document) -> OpenSheet[M]:
    """Return a sheet opened as `model`, with the problems of its shape already noted.

    Raises
    ------
    InputError
        It is empty, or a sheet of another kind.
    """
    require_kind(model, document)
    problems = Problems(document)
    units = document.tree.get("units")
    unit = UNITS.get(units.strip().casefold()) if isinstance(units, str) else None

    def note(kind: str, path: Path, what: str, remedy: str) -> None:
        (problems.note_bare if kind == BARE else problems.note)(path, what, remedy)

    tree = copy.deepcopy(dict(document.tree))
    return OpenSheet(read_with_holes(model, tree, unit, note), unit, problems)
