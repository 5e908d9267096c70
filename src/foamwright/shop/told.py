"""What the shop has to say when something cannot be done: in English here, by key anywhere else.

::

    ShopError                what was asked for cannot stand
    ├── UnknownError         there is no such person, board, blank or job
    ├── ConflictError        somebody was there first
    │   └── StaleError       the board was changed meanwhile; carries the other text and the difference
    ├── RefusedError         not allowed to this visitor
    │   └── StrangerError    nobody is known to be asking; pair first
    ├── TooManyError         too many tries, too fast
    ├── BusyError            the database did not answer in time
    ├── FullError            the disk is full
    └── UnfitError           the database itself cannot be used: damaged, newer, not there
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foamwright.errors import InputError, Problem
from foamwright.shop.told_words import ENGLISH


@dataclass(frozen=True, slots=True)
class Told(Problem):
    """A problem that can be told in any language.

    Attributes
    ----------
    key
        Name of the words, the same in every catalogue.
    values
        What the words leave open.
    """

    key: str = ""
    values: tuple[tuple[str, str], ...] = ()


def filled(words: str, values: Mapping[str, str]) -> str:
    """Return words with their ``{places}`` filled; a text inside a value is never read as a place."""
    parts = words.split("{")
    rest = (part.partition("}") for part in parts[1:])
    return parts[0] + "".join(values.get(name, f"{{{name}}}") + after for name, _, after in rest)


def told(where: str, key: str, **values: object) -> Told:
    """Return the problem called `key`, at the field or place `where`, in English."""
    # Texts are kept as they are: they may know how to be said in another language.
    texts = {name: value if isinstance(value, str) else str(value) for name, value in values.items()}
    what, remedy = ENGLISH[key]
    return Told(where, filled(what, texts), filled(remedy, texts), key, tuple(texts.items()))


class ShopError(InputError):
    """What was asked for cannot stand."""


class UnknownError(ShopError):
    """There is no such thing in the shop."""


class ConflictError(ShopError):
    """Somebody was there first."""


class StaleError(ConflictError):
    """The text was changed by somebody else since it was read.

    Attributes
    ----------
    revision, sheet
        What stands there now.
    difference
        Lines that differ, as a unified difference from what stands there to what was sent.
    """

    def __init__(self, problem: Problem, revision: int, sheet: str, difference: tuple[str, ...]) -> None:
        super().__init__(problem)
        self.revision, self.sheet, self.difference = revision, sheet, difference


class RefusedError(ShopError):
    """Not allowed to whoever asked."""


class StrangerError(RefusedError):
    """Nobody known is asking."""


class TooManyError(ShopError):
    """Too many tries, too fast."""


class BusyError(ShopError):
    """The database did not answer in time; the same may be asked again."""


class FullError(ShopError):
    """The disk is full; what was there is untouched."""


class UnfitError(ShopError):
    """The database cannot be used as it is."""
