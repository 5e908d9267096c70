"""How heavy water is, from its temperature and salinity (TEOS-10, through the `gsw` package)."""

from __future__ import annotations

from foamwright.errors import InputError, Problem

WARMEST = 40.0
"""Degrees Celsius up to which the equation of state was fitted (IOC, SCOR and IAPSO 2010)."""

SALTIEST = 42.0
"""g/kg up to which it was fitted."""

GRAVITY = 9.80665
"""Standard gravity, m/s2."""


def water_density(temperature: float, salinity: float) -> float:
    """Return the density of water at the surface, kg/m3.

    Parameters
    ----------
    temperature
        Degrees Celsius, as a thermometer reads it.
    salinity
        Absolute salinity in g/kg: 35.16504 is the standard sea, 0 a lake.

    Raises
    ------
    InputError
        The water is ice, or beyond the equation of state.

    Notes
    -----
    At the surface the sea pressure is 0. The often quoted 1026.021 kg/m3 at 15 C belongs to one more
    atmosphere of water on top; at the surface it is 1025.976.

    Examples
    --------
    >>> round(water_density(15.0, 35.16504), 2)
    1025.98
    """
    import gsw

    _check(temperature, salinity)
    conservative = gsw.CT_from_t(salinity, temperature, 0.0)
    return float(gsw.rho(salinity, conservative, 0.0))


def freezing_point(salinity: float) -> float:
    """Return the temperature (degrees Celsius) at which water of a salinity (g/kg) freezes at the surface."""
    import gsw

    return float(gsw.t_freezing(salinity, 0.0, 0.0))


def _check(temperature: float, salinity: float) -> None:
    problems = []
    if not 0.0 <= salinity <= SALTIEST:
        problems.append(
            Problem(
                "water, salinity",
                f"is {salinity:g} g/kg.",
                f"Water to surf in has 0 (a lake) to {SALTIEST:g}; the sea about 35.",
            )
        )
    elif temperature < freezing_point(salinity):
        ice = freezing_point(salinity)
        problems.append(
            Problem("water, temperature", f"is {temperature:g} C: ice.", f"It is liquid above {ice:.2f} C.")
        )
    if temperature > WARMEST:
        problems.append(
            Problem("water, temperature", f"is {temperature:g} C.", f"Give at most {WARMEST:g} C.")
        )
    if problems:
        raise InputError(problems)
