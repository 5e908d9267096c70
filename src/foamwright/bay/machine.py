"""A hot-wire machine, the blocks of foam it cuts and the terms of the work. SI inside.

Every default is an assumption, verified by nobody: what a wire melts away depends on the wire, the current
and the foam, so each workshop cuts a test piece and writes its own kerf into its machine sheet.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


class Carriages(StrEnum):
    """Whether both ends of the wire move as one, or each on its own."""

    TOGETHER = "together"
    APART = "apart"


class WireAxes(StrEnum):
    """Which letters move the wire's ends: near end along and up, then far end along and up.

    ``XYZA`` are words that every RS-274 controller reads; ``XYUV`` only those with more axes.
    """

    XYZA = "XYZA"
    XYUV = "XYUV"


@dataclass(frozen=True, slots=True)
class Kerf:
    """Width that the wire melts away over its speed through the foam.

    Attributes
    ----------
    feeds
        Speeds, m/s, rising.
    widths
        Widths of the slot, metres.
    """

    feeds: tuple[float, ...] = (0.002, 0.004, 0.006, 0.008, 0.010, 0.012)
    widths: tuple[float, ...] = (0.0026, 0.0019, 0.0016, 0.0014, 0.0013, 0.0012)

    def at(self, feed: ArrayLike) -> Floats:
        """Return the width at a speed, in a straight line between the table's rows; no row is beyond it."""
        return np.asarray(np.interp(np.asarray(feed, dtype=float), self.feeds, self.widths))

    def covers(self, feed: ArrayLike) -> bool:
        """Tell whether every speed lies within the table; outside it nobody has measured."""
        at = np.asarray(feed, dtype=float)
        return bool(np.all(at >= self.feeds[0] * 0.999999) and np.all(at <= self.feeds[-1] * 1.000001))


@dataclass(frozen=True, slots=True)
class Block:
    """A block of foam: `length` along the board, `width` along the wire, `height` up; metres.

    `foam` is family and density in words; `on_hand` ``None`` means as many as are wanted.
    """

    name: str = "usual"
    length: float = 2.5
    width: float = 1.22
    height: float = 0.62
    foam: str = "eps 20 kg/m3"
    price: float = 160.0
    on_hand: int | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """What a blank made to order takes besides foam: minutes, days, and the stringer's price."""

    setup_minutes: float = 20.0
    glue_minutes: float = 25.0
    stringer_price: float = 8.0
    lead_time_days: float = 4.0


@dataclass(frozen=True, slots=True)
class ControllerWords:
    """What a controller wants in a program besides the wire's moves; each line goes in as it is written.

    Attributes
    ----------
    heat_on, heat_off
        Lines that switch the wire's current.
    heat_seconds
        How long the program waits for the wire to grow hot.
    header, footer
        Lines after the opening words, and before the end of the program.
    inches
        The program's numbers are inches (G20), not millimetres (G21).
    park
        Where the wire's ends go afterwards, along and up, metres; ``None``: out of the foam and no further.
    """

    heat_on: tuple[str, ...] = ()
    heat_off: tuple[str, ...] = ()
    heat_seconds: float = 0.0
    header: tuple[str, ...] = ()
    footer: tuple[str, ...] = ()
    inches: bool = False
    park: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class WireMachine:
    """A machine that moves a straight hot wire through foam.

    Attributes
    ----------
    along, up
        Travel of the wire's ends, metres.
    span
        Distance between the two ends of the wire.
    near_gap
        From the near end of the wire to the near face of the block.
    carriages, axes
        How the ends move and what their axes are called.
    feed
        Usual speed through foam, m/s.
    slowest, fastest
        Limits of that speed.
    rapid
        Speed in air.
    carriage_fastest
        Limit of each end of the wire by itself, m/s; ``None``: none that is known. On a taper the outer end
        moves faster than the wire does in the foam.
    lead
        How far outside the foam a cut begins and ends.
    overshoot
        How far the wire runs on past a corner, in the offcut, before it turns: its lag stays out of the part.
    margin
        Foam left between a part and the faces of its block, and between neighbours beyond the kerf.
    words
        What the controller wants in a program besides the moves.
    """

    name: str = "hot wire"
    along: float = 2.8
    up: float = 0.75
    span: float = 1.6
    near_gap: float = 0.15
    carriages: Carriages = Carriages.TOGETHER
    axes: WireAxes = WireAxes.XYZA
    feed: float = 0.006
    slowest: float = 0.002
    fastest: float = 0.012
    rapid: float = 0.03
    carriage_fastest: float | None = None
    lead: float = 0.03
    overshoot: float = 0.012
    margin: float = 0.005
    kerf: Kerf = field(default_factory=Kerf)
    blocks: tuple[Block, ...] = (Block(),)
    terms: Terms = field(default_factory=Terms)
    words: ControllerWords = field(default_factory=ControllerWords)
    currency: str = "EUR"
