"""What the validation of a request finds, in the shop's own words: each with its field and a remedy.

The library that reads requests names every fault by a type and a context; the words are ours, because its own
are English whatever the visitor speaks, and say what is wrong but not what would be right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from foamwright.errors import Problem
from foamwright.shop.told import told

LONGEST_QUOTED = 40
"""Characters of what was sent that a problem repeats."""

_KEYS: Mapping[str, str] = {
    "missing": "missing",
    "extra_forbidden": "not-known-here",
    "string_type": "no-text",
    "string_unicode": "no-text",
    "string_too_long": "too-long",
    "string_too_short": "empty",
    "string_pattern_mismatch": "signs",
    "int_type": "no-whole-number",
    "int_parsing": "no-whole-number",
    "int_parsing_size": "no-whole-number",
    "int_from_float": "no-whole-number",
    "float_type": "no-number",
    "float_parsing": "no-number",
    "finite_number": "no-number",
    "greater_than": "too-little",
    "greater_than_equal": "too-little",
    "less_than": "too-much",
    "less_than_equal": "too-much",
    "enum": "no-choice",
    "literal_error": "no-choice",
    "list_type": "no-list",
    "too_long": "too-many",
    "too_short": "too-few",
    "dict_type": "no-object",
    "model_type": "no-object",
    "model_attributes_type": "no-object",
    "json_invalid": "no-json",
    "json_type": "no-json",
}
"""Types of fault, by the library's names, and the key of our words for each."""


def misread(error: Mapping[str, Any], place: Sequence[object]) -> Problem:
    """Return one fault of a request as a problem of ours.

    Parameters
    ----------
    error
        As the validation library tells it: ``type``, ``input``, ``ctx``.
    place
        Path to the field, from the outermost name inwards.
    """
    kind, context = str(error["type"]), dict(error.get("ctx") or {})
    return told(
        ".".join(map(str, place)),
        _KEYS.get(kind, "unreadable"),
        written=_quoted(error.get("input")),
        name=_quoted(place[-1] if place else ""),
        least=context.get("ge", context.get("gt", context.get("min_length", ""))),
        most=context.get("le", context.get("lt", context.get("max_length", ""))),
        choices=_choices(str(context.get("expected", ""))),
        pattern=context.get("pattern", ""),
        why=context.get("error", ""),
    )


def _quoted(written: object) -> str:
    text = str(written)
    return text if len(text) <= LONGEST_QUOTED else text[: LONGEST_QUOTED - 1] + "…"


def _choices(expected: str) -> str:
    """Return the choices as we list them; the library writes ``'a', 'b' or 'c'``."""
    return expected.replace("' or '", "', '").replace("'", "")
