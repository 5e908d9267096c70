"""What there is to say about a board and its rider in the water."""

from __future__ import annotations

from enum import StrEnum
from math import atan, degrees

from foamwright.findings import Finding, Severity
from foamwright.units import System, format_with_unit
from foamwright.water.afloat import Afloat, Craft, sinks
from foamwright.water.body import Body
from foamwright.water.equilibrium import STEEPEST
from foamwright.water.trim import Lain, Reach

STATICS = Finding(
    "float-statics",
    Severity.NOTE,
    "in the water",
    None,
    None,
    "1",
    "Statics of a rigid rider made of ellipsoids in still water: they say nothing about waves.",
    "Take them to compare boards and places, not as a forecast.",
)


def check_buoyancy(craft: Craft, body: Body, density: float) -> tuple[Finding, ...]:
    """Return whether board and rider float, and whether the board alone would carry the rider."""
    lift = density * craft.columns.volume - craft.mass
    if sinks(craft, body, density):
        return (_sinks(craft, body, density),)
    return () if lift >= body.mass else (_board_goes_under(lift, body, density),)


def _sinks(craft: Craft, body: Body, density: float) -> Finding:
    mass, lift = craft.mass + body.mass, density * (craft.columns.volume + body.volume)
    return Finding(
        "float-sinks",
        Severity.STOP,
        "in the water",
        mass,
        lift,
        "kg",
        f"Board and rider weigh {mass:.1f} kg, but even all under water they push away only {lift:.1f} kg.",
        f"The board needs {(mass - lift) / density * 1000.0:.1f} litres more, or the rider more air.",
    )


def _board_goes_under(lift: float, body: Body, density: float) -> Finding:
    return Finding(
        "float-board-under",
        Severity.NOTE,
        "in the water",
        lift,
        body.mass,
        "kg",
        f"All under water the board carries {lift:.1f} kg of the rider's {body.mass:.1f} kg; "
        "the rider's own body in the water carries the rest.",
        "That is usual; a board to lie on dry needs "
        f"{1000.0 * (body.mass - lift) / density:.0f} litres more.",
    )


def on_end(pitch: float, place: float | None, system: System) -> Finding:
    """Return that a board stands on end under its rider.

    Parameters
    ----------
    pitch
        Radians nose up at which the search for a rest gave up.
    place
        Metres from the tail at which the breastbone lies; `None`: anywhere on the board.
    system
        Inches or millimetres, for the words.
    """
    where = "anywhere on it" if place is None else f"at {format_with_unit(place, system)} from the tail"
    way, other = ("up", "forward") if pitch > 0.0 else ("down", "back")
    move = "" if place is None else f"Lie further {other}, or take"
    return Finding(
        "float-on-end",
        Severity.STOP,
        "in the water",
        pitch,
        atan(STEEPEST) if pitch > 0.0 else -atan(STEEPEST),
        "rad",
        f"Board and rider float, but with the rider lying {where} the board stands on end, nose {way}: "
        f"there is no rest short of {degrees(atan(STEEPEST)):.0f} degrees.",
        f"{move or 'Take'} a longer board with more volume.",
    )


def check_trim(lain: Lain, system: System) -> tuple[Finding, ...]:
    """Return whether the wanted trim can be had by moving along the board."""
    if lain.reach is Reach.MET:
        return ()
    nose = format_with_unit(abs(lain.afloat.nose_above), system)
    where = "above" if lain.afloat.nose_above > 0.0 else "under"
    back = lain.reach is Reach.TOO_FAR_BACK
    way = "back" if back else "forward"
    return (
        Finding(
            "float-trim",
            Severity.WARNING if back else Severity.NOTE,
            "in the water",
            lain.afloat.nose_above,
            None,
            "m",
            f"Lying as far {way} as the board allows, the nose is {nose} {where} water.",
            "Give the board more volume or more rocker in the nose."
            if back
            else "Lie there; the nose is clear.",
        ),
    )


WISH_MISSED = "float-wish-missed"


class Wished(StrEnum):
    """What somebody asked to lie for."""

    NOSE = "the nose above water"
    PITCH = "the nose pointing up"


def check_wish(lain: Lain, kind: Wished, wished: float, system: System) -> tuple[Finding, ...]:
    """Return whether the trim that was asked for is reached, and if not, what is reached and where.

    Parameters
    ----------
    lain
        The rider lying there, or as near to it as the board allows.
    kind, wished
        What was asked for: metres of the nose above water, or radians nose up.
    system
        Inches or millimetres, for the words.
    """
    if lain.reach is Reach.MET:
        return ()
    afloat = lain.afloat
    way = "back" if lain.reach is Reach.TOO_FAR_BACK else "forward"
    place = format_with_unit(afloat.rider.place, system)
    nose = kind is Wished.NOSE
    reached = afloat.nose_above if nose else afloat.pitch
    words = _nose_words if nose else _pitch_words
    return (
        Finding(
            WISH_MISSED,
            Severity.WARNING,
            "in the water",
            reached,
            wished,
            "m" if nose else "rad",
            f"Asked for {words(wished, system)}; lying as far {way} as the board allows, the breastbone "
            f"{place} from the tail, that gives {words(reached, system)}.",
            "Ask for less, or change the board: everything told here is for lying there.",
        ),
    )


def _nose_words(height: float, system: System) -> str:
    return f"the nose {format_with_unit(abs(height), system)} {'above' if height >= 0.0 else 'under'} water"


def _pitch_words(pitch: float, system: System) -> str:
    return f"the nose pointing {'up' if pitch >= 0.0 else 'down'} by {abs(degrees(pitch)):.1f} degrees"


def check_roll(afloat: Afloat) -> tuple[Finding, ...]:
    """Return whether the rider must balance."""
    if afloat.rest.stable[1]:
        return ()
    return (
        Finding(
            "float-roll",
            Severity.NOTE,
            "in the water",
            float(afloat.rest.stiffness[1, 1]),
            0.0,
            "kg m",
            "Lying still it does not right itself in roll: the rider balances it, as on most boards.",
            "A wider or thicker board, or one lying lower on it, is steadier.",
        ),
    )
