"""Make the demo's stock sheet: blanks of an invented workshop, by plain curves, the same every time.

Run ``python scripts/make_demo_stock.py > src/foamwright/demo/harbour.stock.toml``. Sizes, prices and counts
are invented; the curves are powers of the distance from the lowest point, rounded to 1/16 in.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count

from foamwright.blank.numbers import BlankNumbers, Face, Foam, FoamFamily, Section, Stringer
from foamwright.blank.sheet import stock_sheet
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import Unit, parse_length

HEAD = "# The stock of an invented workshop, made by scripts/make_demo_stock.py.\n"
THIRTY_SECOND, SIXTEENTH, QUARTER = (parse_length(text) for text in ("1/32 in", "1/16 in", "1/4 in"))


@dataclass(frozen=True)
class Shape:
    """One length of blank, in inches: rocker at the tips, and the thicknesses it comes in (square only)."""

    length: str
    width: float
    nose: float
    tail: float
    thicknesses: tuple[float, ...]


SHORT = (2.25, 2.5, 2.75, 3.0)
MIDDLE = (2.5, 2.75, 3.0, 3.25)
THICK = (2.75, 3.0, 3.25, 3.5)
ALL = (2.25, 2.5, 2.75, 3.0, 3.25, 3.5)

SQUARE = (
    Shape("5'10\"", 21.5, 4.75, 2.0, SHORT),
    Shape("6'2\"", 21.75, 4.875, 2.125, SHORT),
    Shape("6'6\"", 22, 5.0, 2.25, MIDDLE),
    Shape("6'8\"", 22, 4.25, 1.75, ALL),
    Shape("6'10\"", 22, 5.5, 2.5, MIDDLE),
    Shape("7'0\"", 22.5, 5.25, 2.5, MIDDLE),
    Shape("7'6\"", 22.75, 5.5, 2.75, THICK[1:]),
    Shape("8'4\"", 23.5, 5.5, 3.25, THICK[1:]),
    Shape("9'4\"", 24, 2.875, 2.25, THICK),
    Shape("9'6\"", 22, 3.0, 2.25, (3.25,)),
    Shape("9'8\"", 24, 4.75, 3.5, THICK[1:]),
)
# Thickness at the nose tip, 12 from nose, centre, 12 from tail, tail tip, in inches.
DOMED = (
    (Shape("6'2\"", 22.0, 5.125, 2.375, ()), (1.5, 2.125, 2.75, 2.25, 1.625)),
    (Shape("6'6\"", 22.5, 5.25, 2.5, ()), (1.5, 2.1875, 2.875, 2.3125, 1.625)),
    (Shape("6'9\"", 22.75, 5.375, 2.5, ()), (1.625, 2.25, 3.0, 2.375, 1.6875)),
    (Shape("7'2\"", 23.0, 5.625, 2.75, ()), (1.625, 2.3125, 3.125, 2.4375, 1.75)),
    (Shape("8'2\"", 23.5, 5.25, 3.25, ()), (1.75, 2.375, 3.25, 2.5, 1.8125)),
    (Shape("9'5\"", 24.5, 3.0, 2.375, ()), (1.75, 2.5, 3.5, 2.625, 1.875)),
    (Shape("9'10\"", 24.5, 5.5, 3.5, ()), (1.75, 2.5, 3.625, 2.625, 1.875)),
)


def main() -> None:
    """Print the stock sheet."""
    print(stock_text(), end="")


def stock_text() -> str:
    """Return the stock sheet."""
    return HEAD + stock_sheet(demo_blanks(), Unit.INCH)


def demo_blanks() -> list[BlankNumbers]:
    """Return the blanks, square ones first, each by length and thickness."""
    places = count()
    square = [square_blank(shape, t, next(places)) for shape in SQUARE for t in shape.thicknesses]
    return square + [domed_blank(shape, depths, next(places)) for shape, depths in DOMED]


def square_blank(shape: Shape, thickness: float, place: int) -> BlankNumbers:
    """Return a block-cut blank."""
    length = parse_length(shape.length)
    return BlankNumbers(
        id=f"Q-{short_name(shape)}-{thickness:g}",
        foam=Foam(FoamFamily.EPS, 28.0 if thickness >= 3.25 else 24.0),
        section=Section.SQUARE,
        length=length,
        outline=(Mark(0.0, inches(shape.width), "tail"), Mark(length, inches(shape.width), "nose")),
        wide=None,
        wide_at=None,
        rocker=rocker(shape, length),
        thickness=(Mark(0.0, inches(thickness), "tail"), Mark(length, inches(thickness), "nose")),
        dome=(),
        stringer=Stringer("basswood", parse_length("1/8 in")),
        price=float(round(22 + length * shape.width * thickness * 0.42)),
        currency="EUR",
        hard_face=None,
        hard_most=0.0,
        skim_bottom=THIRTY_SECOND,
        skim_deck=THIRTY_SECOND,
        **counted(place),
    )


def domed_blank(shape: Shape, depths: tuple[float, ...], place: int) -> BlankNumbers:
    """Return a moulded blank with its hard deck."""
    length = parse_length(shape.length)
    return BlankNumbers(
        id=f"M-{short_name(shape)}",
        foam=Foam(FoamFamily.PU, 35.0),
        section=Section.DOMED,
        length=length,
        outline=at_stations(
            length,
            {
                "tail": 11.0,
                "12 from tail": shape.width - 4.75,
                "12 from nose": shape.width - (4.5 if length > 2.5 else 7.25),
                "nose": 6.0,
            },
        ),
        wide=inches(shape.width),
        wide_at=length / 2,
        rocker=rocker(shape, length),
        thickness=at_stations(
            length, dict(zip(("nose", "12 from nose", "centre", "12 from tail", "tail"), depths, strict=True))
        ),
        dome=tuple(
            sorted(
                (
                    Mark(parse_station(s, length, None), share, s)
                    for s, share in (("tail", 0.6), ("centre", 0.7), ("nose", 0.55))
                ),
                key=by_place,
            )
        ),
        stringer=Stringer("basswood", parse_length("3/16 in")),
        price=float(round(30 + length * shape.width * depths[2] * 0.55)),
        currency="EUR",
        hard_face=Face.DECK,
        hard_most=QUARTER,
        skim_bottom=SIXTEENTH,
        skim_deck=THIRTY_SECOND,
        **counted(place),
    )


def rocker(shape: Shape, length: float) -> tuple[Mark, ...]:
    """Return the rocker at the tips and 12 in inboard: the distance from the centre to the power 2.4."""
    half = length / 2
    share = ((half - inches(12)) / half) ** 2.4
    return at_stations(
        length,
        {
            "tail": shape.tail,
            "12 from tail": round(shape.tail * share * 16) / 16,
            "12 from nose": round(shape.nose * share * 16) / 16,
            "nose": shape.nose,
        },
    )


def at_stations(length: float, numbers: dict[str, float]) -> tuple[Mark, ...]:
    """Return inches at stations as marks from the tail."""
    marks = [Mark(parse_station(s, length, Unit.INCH), inches(n), s) for s, n in numbers.items()]
    return tuple(sorted(marks, key=by_place))


def by_place(mark: Mark) -> float:
    """Sort marks from tail to nose."""
    return mark.x


def counted(place: int) -> dict[str, float]:
    """Return an invented count; what is out of stock takes two weeks."""
    on_hand = (place * 7 + 3) % 5
    return {"on_hand": on_hand, "lead_time_days": 0.0 if on_hand else 14.0}


def inches(number: float) -> float:
    """Metres."""
    return parse_length(number, Unit.INCH)


def short_name(shape: Shape) -> str:
    """``6-8`` for 6'8"."""
    return shape.length.replace("'", "-").rstrip('"')


if __name__ == "__main__":
    main()
