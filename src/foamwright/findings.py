"""Findings: what a check has to say, with a stable code and a remedy."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache, reduce
from typing import Any


class Said(str):
    """An English text that knows how it was made, so that it can be said again in another language.

    It is a string like any other; whoever only prints it need not know. Cut up or joined, it is plain text.

    Attributes
    ----------
    key
        Name of the wording; the same in every language.
    values
        What the wording leaves open, by name; texts among them may be `Said` themselves.
    """

    __slots__ = ("key", "values")

    key: str
    values: Mapping[str, str]

    def __new__(cls, text: str, key: str, values: Mapping[str, str]) -> Said:
        """Return the text with its making."""
        made = super().__new__(cls, text)
        made.key, made.values = key, values
        return made

    def __getnewargs__(self) -> Any:
        """Return what a copy, or another process, makes the same from."""
        return str(self), self.key, self.values


def said(key: str, wording: str, /, **values: str) -> Said:
    """Return an English wording, its ``{places}`` filled, under the key that other languages know it by."""
    return Said(wording.format(**values), key, values)


def said_before(text: str, wordings: Mapping[str, str]) -> str:
    """Return an English text that was kept as plain text as it was said, if one of the wordings made it.

    Parameters
    ----------
    text
        As it was kept.
    wordings
        English wordings by key, of which no two can make one text.

    Returns
    -------
    str
        The text as `Said`; as it is, if none of the wordings made it.
    """
    for key, wording in wordings.items():
        if found := _pattern(wording).fullmatch(text):
            return Said(text, key, found.groupdict())
    return text


@lru_cache(maxsize=256)
def _pattern(wording: str) -> re.Pattern[str]:
    """What texts made by a wording look like: each place is a group."""
    words = re.split(r"\{(\w+)\}", wording)
    parts = (f"(?P<{one}>.+?)" if n % 2 else re.escape(one) for n, one in enumerate(words))
    return re.compile("".join(parts))


def listed(*parts: str) -> str:
    """Return texts in a row with commas between them, each of which can still be said again."""
    return reduce(
        lambda so_far, part: said("sheet.then", "{before}, {after}", before=so_far, after=part), parts
    )


class Severity(StrEnum):
    """How much a finding matters."""

    NOTE = "note"
    WARNING = "warning"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a check found.

    Attributes
    ----------
    code
        Stable name, ``area-what``, for instance ``tip-thin``; documented in docs/findings.md.
    severity
        ``note``, ``warning`` or ``stop``.
    where
        Place in the trade's words; a range when it holds at many stations.
    measured, limit
        SI values compared (``None`` when the finding compares nothing).
    unit
        Unit of both: ``"m"``, ``"m2"``, ``"1"``.
    sentence
        What was found, with its numbers, in words.
    remedy
        What to do about it.
    """

    code: str
    severity: Severity
    where: str
    measured: float | None
    limit: float | None
    unit: str
    sentence: str
    remedy: str

    def as_json(self) -> dict[str, object]:
        """Return the finding as plain values for a JSON document."""
        return {
            "code": self.code,
            "severity": self.severity.value,
            "where": self.where,
            "measured": self.measured,
            "limit": self.limit,
            "unit": self.unit,
            "sentence": self.sentence,
            "remedy": self.remedy,
        }
