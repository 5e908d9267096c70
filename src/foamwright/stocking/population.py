"""Riders and what they ride, as distributions: the stated assumptions behind a sampled demand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from foamwright.brief.kinds import Kind
from foamwright.sheets.rider import Experience


@dataclass(frozen=True, slots=True)
class Bodies:
    """Stature (normal, metres) and body mass index (log-normal, kg/m2), independent of each other.

    In the survey below the logarithm of the index and the stature are uncorrelated (-0.001 men, 0.056 women).
    """

    stature: float
    stature_spread: float
    log_index: float
    log_index_spread: float


MEN = Bodies(1.756, 0.0686, 3.310, 0.146)
WOMEN = Bodies(1.628, 0.0642, 3.229, 0.135)
"""Means and standard deviations computed from the public tables of ANSUR II (2012; 4,082 men and 1,986 women
of the US Army), not from riders: no public survey of riders is known to us."""


def _shares(*pairs: tuple[Kind, float]) -> Mapping[Kind, float]:
    return MappingProxyType(dict(pairs))


MIX: Mapping[Experience, Mapping[Kind, float]] = MappingProxyType(
    {
        Experience.BEGINNER: _shares((Kind.LONG_BOARD, 0.5), (Kind.MID_LENGTH, 0.4), (Kind.FISH, 0.1)),
        Experience.INTERMEDIATE: _shares(
            (Kind.LONG_BOARD, 0.2),
            (Kind.MID_LENGTH, 0.3),
            (Kind.FISH, 0.2),
            (Kind.SMALL_WAVE, 0.15),
            (Kind.PERFORMANCE, 0.15),
        ),
        Experience.ADVANCED: _shares(
            (Kind.LONG_BOARD, 0.1),
            (Kind.MID_LENGTH, 0.1),
            (Kind.FISH, 0.2),
            (Kind.SMALL_WAVE, 0.2),
            (Kind.PERFORMANCE, 0.25),
            (Kind.STEP_UP, 0.1),
            (Kind.GUN, 0.05),
        ),
        Experience.EXPERT: _shares(
            (Kind.LONG_BOARD, 0.05),
            (Kind.MID_LENGTH, 0.05),
            (Kind.FISH, 0.15),
            (Kind.SMALL_WAVE, 0.2),
            (Kind.PERFORMANCE, 0.3),
            (Kind.STEP_UP, 0.15),
            (Kind.GUN, 0.1),
        ),
    }
)
"""Shares of the kinds among the boards of riders of an experience. Our own, no source."""


@dataclass(frozen=True, slots=True)
class Taste:
    """Standard deviations of what riders want beside the usual. Our own, no source.

    Attributes
    ----------
    volume
        Of the logarithm of the volume.
    length
        Of the length, as a share.
    width_for_thickness
        Of the logarithm of the width that is taken from the thickness.
    rocker
        Of the rocker, as a share.
    """

    volume: float = 0.07
    length: float = 0.015
    width_for_thickness: float = 0.02
    rocker: float = 0.06


@dataclass(frozen=True, slots=True)
class Population:
    """Who buys boards. Shares are our own, no source; bodies are measured (see `MEN`, `WOMEN`).

    Attributes
    ----------
    women
        Share of women.
    experience
        Shares by experience; they add up to 1.
    mix
        Shares of the kinds of board by experience.
    taste
        Spread of wishes.
    """

    women: float = 0.35
    experience: Mapping[Experience, float] = field(
        default_factory=lambda: MappingProxyType(
            {
                Experience.BEGINNER: 0.2,
                Experience.INTERMEDIATE: 0.4,
                Experience.ADVANCED: 0.3,
                Experience.EXPERT: 0.1,
            }
        )
    )
    mix: Mapping[Experience, Mapping[Kind, float]] = field(default_factory=lambda: MIX)
    taste: Taste = field(default_factory=Taste)

    def said(self) -> tuple[str, ...]:
        """Return the assumptions as sentences."""
        shares = ", ".join(f"{share:.0%} {name}" for name, share in self.experience.items())
        return (
            "Bodies are drawn from the public ANSUR II survey of 2012 (soldiers, not riders): men "
            f"{MEN.stature:.3f} m, women {WOMEN.stature:.3f} m on average; {self.women:.0%} women.",
            f"Experience: {shares}. These shares and the mix of kinds are our own, no source.",
            "Litres, lengths, widths and curves follow the families of the brief (common practice, no "
            f"source); wishes differ by {self.taste.volume:.0%} in volume, {self.taste.length:.1%} in length "
            f"and {self.taste.rocker:.0%} in rocker (standard deviations, our own).",
        )
