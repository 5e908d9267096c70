"""Findings: what a check has to say, with a stable code and a remedy."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


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
