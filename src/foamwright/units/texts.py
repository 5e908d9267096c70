"""What lengths and masses share as texts: plain signs, numbers with fractions, what cannot be read."""

from __future__ import annotations

import math
import re
import unicodedata
from datetime import date, time
from fractions import Fraction

from foamwright.errors import InputError, Problem
from foamwright.findings import said

LONGEST_TEXT = 60
"""Characters; a longer text is no length, and is cut when a message shows it."""

NUMBER = r"[0-9]+(?: +|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*|\.[0-9]+"
"""Pattern of a number as people write it: ``2``, ``2.5``, ``3/4``, ``2 3/4``, ``2-3/4``."""

_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_PLAIN_FORM = str.maketrans(
    {
        # Compatibility form of ¾ is 3⁄4; the space keeps 2¾ from becoming 23/4.
        **{sign: " " + unicodedata.normalize("NFKC", sign).replace("⁄", "/") for sign in _VULGAR},
        **dict.fromkeys("’‘′ʹʼ´`‛", "'"),
        **dict.fromkeys("”“″ʺ‟„", '"'),
        **dict.fromkeys("−–‒‐‑", "-"),
        **dict.fromkeys("⁄∕", "/"),
    }
)


class BareNumberError(InputError):
    """A number without a unit where no unit was declared."""


class UnreadableError(Exception):
    """What was read and the remedy, before the place is known."""

    def __init__(self, what: str, remedy: str) -> None:
        super().__init__(what)
        self.what, self.remedy = what, remedy

    def at(self, where: str) -> InputError:
        """Return the error that a caller sees."""
        return InputError(Problem(where, self.what, self.remedy))


class BareError(UnreadableError):
    """A number that lacks its unit."""

    def at(self, where: str) -> InputError:
        """Return the error that a caller sees."""
        return BareNumberError(Problem(where, self.what, self.remedy))


def quoted(written: object) -> str:
    """Return what was read as a message shows it: texts in quotes, long ones cut."""
    if isinstance(written, int) and abs(written) > 10**LONGEST_TEXT:
        return said("length.many-digits", "a number of more than 60 digits")
    if isinstance(written, str):
        return _in_quotes(_visible(" ".join(written.split())))
    text = _as_in_a_sheet(written)
    return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 1] + "…"


def _in_quotes(text: str) -> str:
    if len(text) + 2 <= LONGEST_TEXT:
        return said("length.quoted", "“{text}”", text=text)
    return said("length.cut", "“{text}…", text=text[: LONGEST_TEXT - 2])


def _visible(written: str) -> str:
    """Return a text with what a terminal would act on (escapes, bells, nulls) as a question mark."""
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in written)


def _as_in_a_sheet(written: object) -> str:
    """Return a value as TOML has it, where Python writes it otherwise."""
    if isinstance(written, bool):
        return str(written).lower()
    return written.isoformat() if isinstance(written, date | time) else repr(written)


def plain(written: str) -> str:
    """Return a text in small letters, with straight quotes, plain dashes, spaces and fractions."""
    return " ".join(written.translate(_PLAIN_FORM).replace("''", '"').split()).casefold()


def sign_and_rest(written: str, what: str, remedy: str) -> tuple[int, str]:
    """Return the sign (1 or -1) of a text and its plain form without it."""
    text = plain(written)
    if not text:
        nothing = said("length.nothing", "There is nothing where a {what} should stand.", what=what)
        raise UnreadableError(nothing, remedy)
    if len(text) > LONGEST_TEXT:
        raise UnreadableError(is_none(written, what), remedy)
    return (-1, text[1:].lstrip()) if text.startswith("-") else (1, text)


def is_none(written: object, what: str) -> str:
    """Return the words for what is no length, or no mass."""
    return said("length.none", "{written} is not a {what}.", written=quoted(written), what=what)


def exact_number(text: str, written: str) -> Fraction:
    """Return the value of a text that matches `NUMBER`."""
    *whole, last = re.split(r"[ -]+", text)
    top, _, under = last.partition("/")
    if under and int(under) == 0:
        raise UnreadableError(
            said("length.by-zero", "{written} divides by zero.", written=quoted(written)),
            said("length.by-zero.remedy", "Write a fraction like 3/4."),
        )
    if whole and int(top) >= int(under):
        raise UnreadableError(
            said(
                "length.improper",
                "{written} has {fraction} after a whole number.",
                written=quoted(written),
                fraction=last,
            ),
            said("length.improper.remedy", "A fraction there is less than one, like 2 3/4."),
        )
    return sum((Fraction(part) for part in whole), Fraction(last))


def exact_bare(written: object, what: str, remedy: str) -> Fraction:
    """Return a bare number exactly as it was written: 2.15 is 43/20, not the float nearest to it."""
    if isinstance(written, int) and not isinstance(written, bool):
        return Fraction(written)
    if isinstance(written, float) and math.isfinite(written):
        return Fraction(repr(float(written)))
    raise UnreadableError(is_none(written, what), remedy)


def within(value: Fraction, most: int, what: str) -> Fraction:
    """Return `value` unless it is beyond `most` either way."""
    if abs(value) > most:
        raise UnreadableError(
            said(
                "length.too-much",
                "A {what} of more than {most} {unit} is a slip of the pen.",
                what=what,
                most=str(most),
                unit=_SI[what],
            ),
            said("length.too-much.remedy", "Check the number and its unit."),
        )
    return value


LENGTH = said("length.length", "length")
MASS = said("length.mass", "mass")
_SI: dict[str, str] = {LENGTH: "m", MASS: "kg"}
