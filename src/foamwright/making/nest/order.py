"""What is asked: pieces with their counts, kinds of blocks, and how the foam is cut. SI."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.blank.numbers import Foam
from foamwright.making.nest.profiles import Profile


class Tool(StrEnum):
    """What cuts the profiles."""

    WIRE = "wire"
    SAW = "saw"


class Least(StrEnum):
    """What there should be least of."""

    COST = "cost"
    BLOCKS = "blocks"


@dataclass(frozen=True, slots=True)
class Cutting:
    """How the foam is cut; metres.

    Attributes
    ----------
    tool
        What cuts the profiles.
    kerf
        Width of the cut along a profile.
    margin
        Foam left between a piece and the faces of its block, and between neighbours, beyond the kerf.
    slicing
        Width lost where a block is sliced in strips.
    """

    tool: Tool = Tool.WIRE
    kerf: float = 0.0016
    margin: float = 0.005
    slicing: float = 0.003

    @property
    def apart(self) -> float:
        """Least distance of two profiles in one stack, and of a profile from the faces it is cut along."""
        return self.kerf + self.margin


@dataclass(frozen=True, slots=True)
class BlockKind:
    """A kind of block: `length` along the blank, `width` across it, `height` up; metres.

    `on_hand` ``None`` means as many as are wanted; `price` is in hundredths, whole, so that sums are exact.
    """

    name: str
    length: float
    width: float
    height: float
    foam: Foam
    price: int
    on_hand: int | None = None

    @property
    def volume(self) -> float:
        """Foam in it, m3."""
        return self.length * self.width * self.height


@dataclass(frozen=True, eq=False)
class Piece:
    """One kind of piece that is cut: a whole blank, or one of two like halves of it.

    Attributes
    ----------
    blank
        The blank it is for.
    profile, width
        Its side view and how wide it is, metres.
    foam
        What it is made of.
    count
        How many pieces are wanted.
    halves
        Two of them, with the stringer between them, make one blank.
    """

    blank: str
    profile: Profile
    width: float
    foam: Foam
    count: int
    halves: bool = False

    @property
    def volume(self) -> float:
        """Foam in one, m3."""
        return self.profile.area * self.width


@dataclass(frozen=True, eq=False)
class Order:
    """Everything that is asked."""

    name: str
    pieces: tuple[Piece, ...]
    blocks: tuple[BlockKind, ...]
    cutting: Cutting
    least: Least = Least.COST
    currency: str = "EUR"
