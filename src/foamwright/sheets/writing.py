"""Writing sheets: values as TOML that reads back to the same numbers."""

from __future__ import annotations

import json
import math

from foamwright.sheets.stations import keeps_name, name_station
from foamwright.units import Unit, format_feet, parse_length, write_length


def text_value(text: str) -> str:
    """Return a text in quotes; JSON's escapes are TOML's."""
    return json.dumps(text, ensure_ascii=False)


def length_value(metres: float, unit: Unit) -> str:
    """Return a length in the sheet's unit: bare where TOML's own number says the same, else in quotes."""
    text = write_length(metres, unit)
    return text if _is_plain(text) and repr(float(text)) in {text, f"{text}.0"} else text_value(text)


def feet_value(metres: float, unit: Unit) -> str:
    """Return the length of a board: in feet and inches where the sheet is in inches and that is exact."""
    feet = format_feet(metres, 64)
    return (
        text_value(feet) if unit is Unit.INCH and parse_length(feet) == metres else length_value(metres, unit)
    )


def angle_value(radians: float) -> str:
    """Return degrees that read back to the same angle."""
    degrees = math.degrees(radians)
    near = [degrees, math.nextafter(degrees, math.inf), math.nextafter(degrees, -math.inf)]
    round_ones = [round(degrees, places) for places in range(15)]
    exact = next((d for d in [*round_ones, *near] if math.radians(d) == radians), degrees)
    return repr(float(exact))


def number_value(number: float) -> str:
    """Return a plain number; infinity is a hard edge."""
    if math.isinf(number):
        return '"hard"'
    return str(int(number)) if number == int(number) and abs(number) < 1e15 else repr(float(number))


def station_text(x: float, place: str, length: float, unit: Unit) -> str:
    """Return the name of a station: as the person gave it where that still means the same place."""
    return place if keeps_name(place, x, length, unit) else name_station(x, length, unit)


def station_key(x: float, place: str, length: float, unit: Unit) -> str:
    """Return `station_text` as a key, in quotes where it needs them."""
    name = station_text(x, place, length, unit)
    return name if name.isalpha() and name.isascii() else text_value(name)


def lines(*parts: str | None) -> str:
    """Return the parts that there are, one a line."""
    return "\n".join(part for part in parts if part is not None) + "\n"


def key(name: str, value: str | None) -> str | None:
    """Return ``name = value``, or `None` where there is no value."""
    return None if value is None else f"{name} = {value}"


def _is_plain(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()
