"""What can hurt someone at a hot wire; said in every program's header, on the screen and in the JSON."""

from __future__ import annotations

from foamwright.cautions import DEFER, Caution

HOT_WIRE = Caution(
    "hot-wire",
    "wire",
    "The wire is hot enough to burn skin and to set foam alight: never leave it alone, keep a means of "
    "putting out a fire at hand, and cut the current before reaching into the machine.",
)
FUME = Caution(
    "fume",
    "wire",
    "Fume: cut only expanded or extruded polystyrene, with extraction and open air; stop if eyes or throat "
    "sting. What is in the fume of a given foam stands in its data sheet.",
)
NO_POLYURETHANE = Caution(
    "no-polyurethane",
    "wire",
    "Never cut polyurethane by hot wire: it gives off isocyanates and hydrogen cyanide.",
)
CURRENT = Caution(
    "current",
    "wire",
    "Current: have the wire's supply wired, fused and switched as the machine's maker says.",
)
DRY_RUN = Caution(
    "dry-run",
    "wire",
    "Run the program in air once, with the wire cold, before it meets foam.",
)
HAND_BOW = Caution(
    "hand-bow",
    "wire",
    "A hand bow: gloves against the heat, two people, nobody under or behind the wire, a stand where the hot "
    "bow is put down, and the current off by a switch that both can reach.",
)
HAND_CAUTIONS = (HOT_WIRE, FUME, NO_POLYURETHANE, CURRENT, HAND_BOW, DEFER)
WIRE_CAUTIONS = (HOT_WIRE, FUME, NO_POLYURETHANE, CURRENT, DRY_RUN, DEFER)
