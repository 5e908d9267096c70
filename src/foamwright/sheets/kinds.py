"""The kinds of sheets by their keys: an empty sheet, or one of another kind, is told as that and no more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from foamwright.errors import InputError, Problem
from foamwright.sheets.document import Document
from foamwright.sheets.fields import SheetModel


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
    "BoardSheet": _kind("a board sheet", "length outline rocker thickness rails bottom fins"),
    "StockSheet": _kind("a stock sheet", "currency blank"),
    "BaySheet": _kind("a bay sheet", "rail_bands plane rates tape allowances prices rescue"),
    "RiderSheet": _kind("a rider sheet", "mass stature experience lungs water"),
    "MaterialsSheet": _kind(
        "a materials sheet", "foam wood fibre resin coats fittings hours cloth layup share margin"
    ),
    "MachineSheet": _kind(
        "a machine sheet",
        "currency along up span near_gap carriages axes feed_mm_min slowest_mm_min fastest_mm_min "
        "rapid_mm_min lead overshoot margin kerf block terms",
    ),
    "OrderSheet": _kind("an order sheet", "currency cut kerf margin slicing least block blank"),
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
        what = "This sheet is empty."
        raise InputError(Problem(document.name, what, f"Write {asked.words}, or name the right file."))
    if others := _others(asked, keys):
        what = f"This looks like {' or '.join(kind.words for kind in others)}; {asked.words} is needed here."
        raise InputError(Problem(document.name, what, "Name the right file."))


def _others(asked: Kind, keys: frozenset[str]) -> list[Kind]:
    """Return the kinds that the keys speak for, if they do not speak for the one that is asked for."""
    most = max(kind.known(keys) for kind in KINDS.values())
    own = asked.known(keys)
    # One stray table does not make another sheet: either nothing is known here, or all is known there.
    plain = most > own and (most == len(keys) or (own == 0 and 2 * most > len(keys)))
    return [kind for kind in KINDS.values() if kind.known(keys) == most] if plain else []
