"""What the chosen blank decides of all that comes after the foam: core, stringer, resin, first coat."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foamwright.bay.materials import POLYESTER, CoreFoam, Materials, Resin, ResinKind, Wood
from foamwright.blank.numbers import BlankNumbers, Foam, FoamFamily, Stringer

FAMILY_NAMES = {FoamFamily.EPS: "EPS", FoamFamily.XPS: "XPS", FoamFamily.PU: "polyurethane"}

STRESSES = {
    # ASTM D6817 (geofoam): density kg/m3, least stress at 1 % and at 10 % in kPa. EPS22 is checked against a
    # copy of the table; the other rows are from memory.
    FoamFamily.EPS: ((11.2, 15, 40), (14.4, 25, 70), (18.4, 40, 110), (21.6, 50, 135), (28.8, 75, 200)),
    FoamFamily.XPS: ((19.2, 20, 104), (20.8, 35, 104), (24.8, 75, 185), (28.8, 105, 235), (48.0, 535, 690)),
    # Rigid polyurethane as data sheets of 32 to 64 kg/m3 give it; assumption, no source.
    FoamFamily.PU: ((28.0, 35, 150), (32.0, 45, 180), (48.0, 75, 330), (64.0, 110, 480)),
}
POISSON = {FoamFamily.EPS: 0.12, FoamFamily.XPS: 0.12, FoamFamily.PU: 0.3}
"""Assumptions, no source."""

SCATTER = 0.045
"""Standard deviation of a foam's density as a share of it, from block to block (1 kg/m3 at 22)."""

SEAL = {FoamFamily.EPS: 0.16, FoamFamily.XPS: 0.06, FoamFamily.PU: 0.06}
"""kg/m2 that fill the foam's open cells before the cloth, or are drunk from it: between the beads of EPS
much, into the cut cells of the others less. Common practice, no source."""

WOODS = {
    # Wood Handbook, specific gravity and modulus at 12 % moisture (million psi); basswood is checked against
    # copies of the table, the others are from memory.
    "balsa": (0.16, 0.49),
    "basswood": (0.37, 1.46),
    "cedar": (0.32, 1.11),
    "redwood": (0.38, 1.22),
    "spruce": (0.40, 1.57),
    "poplar": (0.42, 1.58),
    "birch": (0.62, 2.01),
}
_MILLION_PSI = 1e6 * 6894.757293168


def materials_on(materials: Materials, blank: BlankNumbers) -> Materials:
    """Return the materials of a board from a blank: the blank's foam and stringer, and what fits them.

    Parameters
    ----------
    materials
        The shop's. Its foam and stringer are for boards whose blank is not known; what it says of the wood
        holds where the stringer is of that wood.
    blank
        The chosen blank.

    Returns
    -------
    Materials
        Core and stringer of the blank; polyester on polyurethane and epoxy on polystyrene, unless the shop
        names a resin; the seal coat of the foam, unless the shop gives one.
    """
    family = blank.foam.family
    seal = SEAL[family] if materials.coats.seal is None else materials.coats.seal
    return replace(
        materials,
        foam=core_of(blank.foam, materials.foam.price),
        wood=wood_of(blank.stringer, materials.wood),
        resin=resin_on(family, materials.resin),
        coats=replace(materials.coats, seal=seal),
    )


def core_of(foam: Foam, price: float) -> CoreFoam:
    """Return a core of a foam, stiff and strong as its family at its density; price per m3 of board."""
    density, first, tenth = np.array(STRESSES[foam.family], dtype=float).T
    at_one, at_ten = (float(np.interp(foam.density, density, stress)) for stress in (first, tenth))
    return CoreFoam(
        name=f"{FAMILY_NAMES[foam.family]} {foam.density:.3g}",
        density=foam.density,
        scatter=SCATTER * foam.density,
        modulus=at_one * 1e3 / 0.01,
        poisson=POISSON[foam.family],
        strength=0.5 * at_ten * 1e3,
        price=price,
    )


def wood_of(stringer: Stringer, usual: Wood) -> Wood:
    """Return the wood of a stringer; a wood that is not known here has the usual one's numbers."""
    if stringer.width <= 0.0:
        return replace(usual, name="none", width=0.0)
    named = stringer.wood.strip().casefold()
    known = next((values for name, values in WOODS.items() if name in named), None)
    if known is None or named == usual.name.casefold():
        return replace(usual, name=stringer.wood, width=stringer.width)
    gravity, modulus = known
    return replace(
        usual, name=stringer.wood, gravity=gravity, modulus=modulus * _MILLION_PSI, width=stringer.width
    )


def resin_on(family: FoamFamily, resin: Resin) -> Resin:
    """Return the resin for a foam: the one that the shop names, else polyester on polyurethane."""
    if resin.kind is None and family is FoamFamily.PU:
        return replace(POLYESTER, per_fibre=resin.per_fibre, scatter=resin.scatter, spilt=resin.spilt)
    return resin if resin.kind is not None else replace(resin, kind=ResinKind.EPOXY)
