"""The numbers of a blank as its supplier gives them, in SI: what a stock sheet becomes once read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.stations import Mark


class FoamFamily(StrEnum):
    """Kind of foam; decides the hard face and what a hot wire may cut."""

    EPS = "eps"
    XPS = "xps"
    PU = "pu"


class Section(StrEnum):
    """Cross-section of a blank: square (block-cut) or domed (moulded)."""

    SQUARE = "square"
    DOMED = "domed"


class Face(StrEnum):
    """A face of the foam."""

    BOTTOM = "bottom"
    DECK = "deck"


@dataclass(frozen=True, slots=True)
class Foam:
    """Foam family and density in kg/m3."""

    family: FoamFamily
    density: float


@dataclass(frozen=True, slots=True)
class Stringer:
    """Wood spine: species and width in metres (width 0: none)."""

    wood: str
    width: float


@dataclass(frozen=True, slots=True)
class BlankNumbers:
    """A blank in numbers (SI). Marks are sorted by `x` from the blank's tail and include both tips.

    Attributes
    ----------
    outline
        Full widths at stations (one width: the same number at both tips), without the wide point.
    wide, wide_at
        Widest full width and its station, or ``None`` where the outline marks say it all.
    rocker
        Bottom above the blank's own level line, at the stringer.
    thickness
        At the stringer (one number: the same at both tips).
    dome
        Edge thickness as a share of the stringer's (empty for a square section).
    hard_face
        Face whose foam is hard and should stay, or ``None``.
    hard_most
        Most that may come off the hard face where the rider stands, metres.
    skim_bottom, skim_deck
        Least that must come off each face, metres.
    """

    id: str
    foam: Foam
    section: Section
    length: float
    outline: tuple[Mark, ...]
    wide: float | None
    wide_at: float | None
    rocker: tuple[Mark, ...]
    thickness: tuple[Mark, ...]
    dome: tuple[Mark, ...]
    stringer: Stringer
    price: float
    currency: str
    on_hand: int
    lead_time_days: float
    hard_face: Face | None
    hard_most: float
    skim_bottom: float
    skim_deck: float
