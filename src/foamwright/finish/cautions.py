"""Cautions for glassing: resin, fumes, heat, dust. General words; the product's data sheet comes first."""

from __future__ import annotations

from foamwright.bay.materials import ResinKind
from foamwright.blank.numbers import FoamFamily
from foamwright.cautions import DEFER, DUST, POLYURETHANE, Caution

FINISHING: tuple[Caution, ...] = (
    Caution(
        "resin",
        "glassing",
        "Resin and hardener burn skin and eyes and can make you allergic for life: gloves, glasses, long "
        "sleeves, and no solvent to clean skin. Mix what the product's data sheet says, by weight.",
    ),
    Caution(
        "fumes",
        "glassing",
        "Polyester resin gives off styrene, which harms well before it smells unbearable: work with strong "
        "ventilation and an organic vapour respirator, and keep people without one out.",
    ),
    Caution(
        "heat",
        "glassing",
        "Mixed resin heats up, and a full pot can smoke or burn: mix small pots, spread them out, and let "
        "leftovers harden outdoors in thin layers. Rags with peroxide or solvent go into a bin of water.",
    ),
    Caution(
        "foam-and-resin",
        "glassing",
        "Polyester resin dissolves polystyrene foam: glass it with epoxy only.",
    ),
    Caution(
        "glass-dust",
        "sanding",
        "Dust of cured resin and glass harms lungs and skin, and resin that is not fully cured is worse: "
        "respirator, extraction, and wait until the data sheet calls it cured.",
    ),
    Caution(
        "router",
        "boxes",
        "Clamp the jig, start the router clear of the foam, both hands on it, ears and eyes protected; look "
        "where the stringer and the deck are before you set the depth.",
    ),
)


def finishing_cautions(
    family: FoamFamily | None = None, resin: ResinKind | None = None
) -> tuple[Caution, ...]:
    """Return every caution of the finishing, general ones first.

    Parameters
    ----------
    family, resin
        The foam, and the resin on it; what is not known leaves every caution in. Without polystyrene
        nothing is said of what dissolves it, on epoxy nothing of styrene, and polyurethane has its own.
    """
    left_out = set()
    if family is FoamFamily.PU:
        left_out.add("foam-and-resin")
    if resin is ResinKind.EPOXY:
        left_out.add("fumes")
    general = (DEFER, DUST, POLYURETHANE) if family is FoamFamily.PU else (DEFER, DUST)
    return (*general, *(caution for caution in FINISHING if caution.code not in left_out))
