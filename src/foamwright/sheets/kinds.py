"""The kinds of sheets by their keys: an empty sheet, or one of another kind, is told as that and no more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce
from typing import Final

from foamwright.errors import InputError, Problem
from foamwright.findings import said
from foamwright.sheets.document import Document
from foamwright.sheets.fields import SheetModel, either


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sheet: what people call it, and its keys at the top of the sheet."""

    words: str
    keys: frozenset[str]

    def known(self, keys: frozenset[str]) -> int:
        """Return how many of these keys it has."""
        return len(keys & self.keys)


def _kind(words: str, keys: str) -> Kind:
    return Kind(words, frozenset(keys.split()))


ANY_SHEET: Final = frozenset({"name", "units"})
"""Keys that tell no kind."""

# Models live above this layer; a test holds these keys against theirs.
KINDS: Final[Mapping[str, Kind]] = {
    "BoardSheet": _kind(
        said("sheet.kind.board", "a board sheet"), "length outline rocker thickness rails deck bottom fins"
    ),
    "StockSheet": _kind(said("sheet.kind.stock", "a stock sheet"), "currency blank"),
    "BaySheet": _kind(
        said("sheet.kind.bay", "a bay sheet"),
        "rail_bands plane rates tape allowances prices rescue hands power_planer",
    ),
    "RiderSheet": _kind(
        said("sheet.kind.rider", "a rider sheet"), "mass stature experience age suit lungs water"
    ),
    "MaterialsSheet": _kind(
        said("sheet.kind.materials", "a materials sheet"),
        "foam wood fibre resin coats fittings hours cloth layup share margin",
    ),
    "MachineSheet": _kind(
        said("sheet.kind.machine", "a machine sheet"),
        "currency along up span near_gap carriages axes feed_mm_min slowest_mm_min fastest_mm_min "
        "carriage_fastest_mm_min rapid_mm_min lead overshoot margin kerf block program terms",
    ),
    "OrderSheet": _kind(
        said("sheet.kind.order", "an order sheet"), "currency cut kerf margin slicing least block blank"
    ),
}
"""By the name of the model that reads it."""


def require_kind(model: type[SheetModel], document: Document) -> None:
    """Raise where a sheet is empty though it may not be, or is plainly of another kind than `model` reads.

    Raises
    ------
    InputError
        It is; its missing and unknown keys are then not worth telling.
    """
    asked = KINDS.get(model.__name__)
    if asked is None:
        return
    keys = frozenset(document.tree) - ANY_SHEET
    if not document.tree and any(field.is_required() for field in model.model_fields.values()):
        what = said("sheet.empty", "This sheet is empty.")
        remedy = said("sheet.empty.remedy", "Write {kind}, or name the right file.", kind=asked.words)
        raise InputError(Problem(document.name, what, remedy))
    if others := _others(asked, keys):
        what = said(
            "sheet.other-kind",
            "This looks like {found}; {kind} is needed here.",
            found=reduce(either, (kind.words for kind in others)),
            kind=asked.words,
        )
        raise InputError(Problem(document.name, what, said("sheet.right-file", "Name the right file.")))


def _others(asked: Kind, keys: frozenset[str]) -> list[Kind]:
    """Return the kinds that the keys speak for, if they do not speak for the one that is asked for."""
    most = max(kind.known(keys) for kind in KINDS.values())
    own = asked.known(keys)
    # One stray table does not make another sheet: either nothing is known here, or all is known there.
    plain = most > own and (most == len(keys) or (own == 0 and 2 * most > len(keys)))
    return [kind for kind in KINDS.values() if kind.known(keys) == most] if plain else []
