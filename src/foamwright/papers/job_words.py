"""How the job sheet says lengths and places: on the tape, and on the side where no foam is lost."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.bay.bay import Bay
from foamwright.stages.marks import RackStation
from foamwright.units import INCH, Rounding, System, format_feet, format_length, format_with_unit, settled

NOTHING = 0.19e-3
"""Metres below which nothing comes off: the finest iron takes more."""

_SLACK = 1e-8


@dataclass(frozen=True, slots=True)
class Figures:
    """Lengths as a person at the rack reads them.

    Attributes
    ----------
    system
        Inches or millimetres.
    tape
        Finest fraction of an inch on the tape; depths and calipers are read to half of it.
    """

    system: System = System.INCH
    tape: int = 16

    @property
    def fine(self) -> int:
        """Finest fraction of an inch for depths, heights and calipers."""
        return 2 * self.tape

    @property
    def unit(self) -> str:
        """Name of the unit."""
        return self.system.value

    def at_least(self, metres: float) -> str:
        """Return a thickness, width or deck height, never below the exact one: cutting stops there."""
        return self._rounded(metres, Rounding.UP)

    def at_most(self, metres: float) -> str:
        """Return a rocker or bottom height, never above the exact one: cutting stops there."""
        return self._rounded(metres, Rounding.DOWN)

    def nearest(self, metres: float) -> str:
        """Return a length on which no cut depends."""
        return format_length(metres, self.system, self.fine)

    def depth(self, metres: float) -> str:
        """Return what to take off, never more than the exact depth; less than the tape shows is a skim."""
        if metres <= NOTHING:
            return "0"
        said = self._rounded(metres, Rounding.DOWN)
        return "skim" if said in ("0", "0.0") else said

    def pencil(self, metres: float) -> str:
        """Return how far a pencil line stands from an edge, never further, which leaves foam."""
        said = self._rounded(metres, Rounding.DOWN)
        if said == "0":
            return format_length(metres, self.system, 4 * self.tape, Rounding.DOWN)
        return said

    def width(self, metres: float) -> str:
        """Return a full width by the tape, never below the exact one."""
        if self.system is System.MM:
            return self._whole(metres, Rounding.UP)
        return format_length(
            settled(metres, self.system, self.tape, _SLACK), self.system, self.tape, Rounding.UP
        )

    def start(self, metres: float) -> str:
        """Return where a stroke starts, from the tip; never further in than the exact place."""
        if self.system is System.MM:
            return self._whole(metres, Rounding.DOWN)
        return format_length(
            settled(metres, self.system, self.tape, _SLACK), self.system, self.tape, Rounding.DOWN
        )

    def lift(self, metres: float) -> str:
        """Return where a plane is lifted off, from the tip; never nearer to it than the exact place."""
        if self.system is System.MM:
            return self._whole(metres, Rounding.UP)
        return format_length(
            settled(metres, self.system, self.tape, _SLACK), self.system, self.tape, Rounding.UP
        )

    def chip(self, metres: float) -> str:
        """Return the setting of an iron."""
        return format_length(metres, self.system, 128)

    def along(self, metres: float) -> str:
        """Return a distance along the board, to the nearest mark of the tape, with its unit."""
        if self.system is System.MM:
            return f"{self._whole(metres, Rounding.NEAREST)} mm"
        return format_with_unit(metres, self.system, self.tape)

    def about(self, metres: float) -> str:
        """Return a distance that is only roughly known: whole inches, or centimetres said in millimetres."""
        if self.system is System.MM:
            return f"{round(metres * 100.0) * 10} mm"
        return f"{round(metres / INCH)} in"

    def board_length(self, metres: float) -> str:
        """Return a board's or a blank's length as people say it: feet and inches, or millimetres."""
        if self.system is System.INCH:
            return format_feet(metres, self.tape)
        return f"{self._whole(metres, Rounding.NEAREST)} mm"

    def with_unit(self, figure: str) -> str:
        """Return a figure with the unit, a word as it is."""
        return f"{figure} {self.unit}" if figure[-1].isdigit() else figure

    def station(self, station: RackStation) -> tuple[str, str]:
        """Return the two lines that name a station in a column's head: ``("12", "in from the tail")``."""
        number, _, rest = station.name.partition(" ")
        if not rest:
            return "", station.name
        return number, f"{self.unit} from the {rest.split()[-1]}"

    def _rounded(self, metres: float, rounding: Rounding) -> str:
        return format_length(
            settled(metres, self.system, self.fine, _SLACK), self.system, self.fine, rounding
        )

    def _whole(self, metres: float, rounding: Rounding) -> str:
        """Whole millimetres."""
        tenths = format_length(settled(metres, self.system, 16, _SLACK), System.MM, 16, rounding)
        whole, _, rest = tenths.partition(".")
        up = (rounding is Rounding.UP and rest != "0") or (rounding is Rounding.NEAREST and rest >= "5")
        return str(int(whole) + up)


def figures_of(bay: Bay, system: System) -> Figures:
    """Return how lengths are said in a bay."""
    return Figures(system, bay.tape.fraction)


def counted(number: int, noun: str) -> str:
    """Return ``1 stroke``, ``4 strokes``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
