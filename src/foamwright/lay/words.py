"""Amounts and places of a lay in words."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.findings import said
from foamwright.units import Rounding, System, format_with_unit, settled


@dataclass(frozen=True, slots=True)
class Words:
    """How a person reads lengths: inches to a fraction, or millimetres."""

    system: System = System.INCH
    fraction: int = 16

    def amount(self, metres: float) -> str:
        """Return what is missing, rounded up, so that what is said is enough."""
        exact = settled(abs(metres), self.system, 2 * self.fraction, within=1e-8)
        return format_with_unit(exact, self.system, 2 * self.fraction, Rounding.UP)

    def length(self, metres: float) -> str:
        """Return a length to the tape's nearest mark."""
        return format_with_unit(metres, self.system, self.fraction)

    def place(self, x: float, length: float) -> str:
        """Return a station as a person measures it, from the nearer tip."""
        if 2.0 * x <= length:
            if x < 1e-9:
                return said("place.the-tail-tip", "the tail tip")
            return said("place.from-the-tail", "{distance} from the tail", distance=self._whole(x))
        back = length - x
        if back < 1e-9:
            return said("place.the-nose-tip", "the nose tip")
        return said("place.from-the-nose", "{distance} from the nose", distance=self._whole(back))

    def _whole(self, metres: float) -> str:
        """A station's distance, to half an inch or a centimetre: nobody looks for one more exactly."""
        if self.system is System.INCH:
            return format_with_unit(metres, self.system, 2)
        return format_with_unit(round(metres, 2), self.system)
