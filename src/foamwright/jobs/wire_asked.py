"""What is asked of a hot wire, as people write it beside the sheets."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from foamwright.blank.numbers import Stringer
from foamwright.errors import InputError, Problem, attempt
from foamwright.jobs.options import Limits, length_option, number_option
from foamwright.jobs.wire import (
    STRINGER,
    WireJob,
    WireOrder,
    asked_foam,
    read_wire_sheets,
    wire_of,
)
from foamwright.making.closecut import CutAllowances
from foamwright.making.wire_cut import Wanted, require_block
from foamwright.making.wire_parts import Taper
from foamwright.sheets.fields import did_you_mean
from foamwright.units import parse_length, quoted

WOODS = ("basswood", "balsa", "cedar", "paulownia", "pine", "plywood", "poplar", "redwood", "spruce")
"""Woods of stringers. Common practice, no source; a stock sheet may name any other."""

STRINGER_WIDTHS = Limits(0.0, parse_length("2 in"))
"""Metres, as in a stock sheet."""

LEFT_WIDTHS = Limits(0.0, parse_length("12 in"))
"""Metres of foam left on purpose; more is a slip of the pen."""

FEEDS = Limits(1.0, 10_000.0)
"""mm a minute of any wire; each machine's own limits lie inside."""

LEFT = ("bottom", "deck", "tips", "sides")


@dataclass(frozen=True, slots=True)
class WireAsked:
    """Options as they are written; `None` where not given.

    Attributes
    ----------
    foam, block
        Family and density; name of a block.
    stringer, wood
        Its width, or ``none``; its wood.
    left
        What is left on purpose, by `LEFT`: lengths with their units.
    feed
        Speed through foam, mm a minute.
    taper
        Level across, or falling to the rail.
    """

    foam: str | None = None
    block: str | None = None
    stringer: str | None = None
    wood: str | None = None
    left: dict[str, str] = field(default_factory=dict)
    feed: str | None = None
    taper: Taper = Taper.LEVEL

    def order(self) -> WireOrder:
        """Return the order.

        Raises
        ------
        InputError
            With every problem of every option.
        """
        problems: list[Problem] = []
        if self.foam is not None:
            attempt(problems, partial(asked_foam, self.foam))
        width, wood = attempt(problems, self._width), attempt(problems, self._wood)
        left = {name: attempt(problems, partial(_left, name, text)) for name, text in self.left.items()}
        feed = attempt(problems, self._feed)
        if problems or width is None or wood is None:
            raise InputError(problems)
        stringer = Stringer(wood if width else "none", width)
        given = {name: metres for name, metres in left.items() if metres is not None}
        return WireOrder(self.foam, stringer, CutAllowances(**given), Wanted(feed, self.block, self.taper))

    def _width(self) -> float:
        if self.stringer is None:
            return STRINGER.width
        none = self.stringer.strip().casefold() == "none"
        return 0.0 if none else length_option(self.stringer, "--stringer", STRINGER_WIDTHS)

    def _wood(self) -> str:
        wood = STRINGER.wood if self.wood is None else self.wood.strip().casefold()
        if wood not in WOODS:
            what = f"{quoted(self.wood)} is no wood of stringers."
            raise InputError(Problem("--wood", what, did_you_mean(wood, list(WOODS))))
        return wood

    def _feed(self) -> float | None:
        if self.feed is None:
            return None
        return number_option(self.feed, "--feed", "feed in mm a minute", FEEDS) / 60_000.0


def _left(name: str, text: str) -> float:
    return length_option(text, f"--{name}", LEFT_WIDTHS)


def asked_wire_job(
    board: Path,
    asked: WireAsked,
    *,
    machine: Path | None = None,
    bay: Path | None = None,
    stock: Path | None = None,
) -> WireJob:
    """Return a close-cut blank for a board as asked, and the programs that cut it.

    Raises
    ------
    InputError
        With every problem of every sheet and every option; or as `foamwright.jobs.wire.wire_of`.
    """
    problems: list[Problem] = []
    sheets = attempt(problems, lambda: read_wire_sheets(board, machine=machine, bay=bay, stock=stock))
    order = attempt(problems, asked.order)
    if sheets is not None:
        attempt(problems, lambda: require_block(sheets.machine, asked.block))
    if problems or sheets is None or order is None:
        raise InputError(problems)
    return wire_of(sheets, order)
