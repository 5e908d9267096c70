"""What tomllib found wrong, as a text that can be said in another language.

tomllib tells it in English, as a message and no more; the messages are few, and a test looks for each of them
in its source. One that is not here, of a later Python, is told as it is.
"""

from __future__ import annotations

import re

from foamwright.findings import said

_REASONS = (
    ("sheet.toml.statement", "Invalid statement"),
    ("sheet.toml.newline", "Expected newline or end of document after a statement"),
    ("sheet.toml.expected", "Expected {sign}"),
    ("sheet.toml.character", "Found invalid character {sign}"),
    ("sheet.toml.declared", "Cannot declare {name} twice"),
    ("sheet.toml.overwritten", "Cannot overwrite a value"),
    ("sheet.toml.table-end", "Expected ']' at the end of a table declaration"),
    ("sheet.toml.array-end", "Expected ']]' at the end of an array declaration"),
    ("sheet.toml.immutable", "Cannot mutate immutable namespace {name}"),
    ("sheet.toml.redefined", "Cannot redefine namespace {name}"),
    ("sheet.toml.equals", "Expected '=' after a key in a key/value pair"),
    ("sheet.toml.key", "Invalid initial character for a key part"),
    ("sheet.toml.array", "Unclosed array"),
    ("sheet.toml.inline-table", "Unclosed inline table"),
    ("sheet.toml.duplicate", "Duplicate inline table key {name}"),
    ("sheet.toml.backslash", "Unescaped '\\' in a string"),
    ("sheet.toml.hex", "Invalid hex value"),
    ("sheet.toml.scalar", "Escaped character is not a Unicode scalar value"),
    ("sheet.toml.string", "Unterminated string"),
    ("sheet.toml.illegal", "Illegal character {sign}"),
    ("sheet.toml.date", "Invalid date or datetime"),
    ("sheet.toml.value", "Invalid value"),
)


def reason_of(message: str) -> str:
    """Return tomllib's message, without its place, as a text that knows its wording."""
    # Wordings without a place are tried first: "Expected …" would take them all.
    for key, wording in sorted(_REASONS, key=lambda pair: "{" in pair[1]):
        if found := _pattern(wording).fullmatch(message):
            return said(key, wording, **found.groupdict())
    return message


def _pattern(wording: str) -> re.Pattern[str]:
    return re.compile(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+)", re.escape(wording)), re.DOTALL)
