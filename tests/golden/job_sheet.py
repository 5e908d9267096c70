"""The words of the demo's job sheet, kept in a form that planning better strokes does not change.

``python tests/golden/job_sheet.py`` writes the kept file anew; look at what changed before keeping it.
Digits stand as ``#`` (the numbers are tested against the plan, not against yesterday's), a line that stands
several times on a sheet is kept once, and the lists of strokes are left out but for their words.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

KEPT = Path(__file__).parent / "job-sheet.txt"


def job_sheet_words() -> str:
    """Return the kept form: each sheet's title and the words on it, in the order they are drawn."""
    from foamwright.papers.tiling import Paper
    from foamwright.units import System
    from tests.unit.papers.job_pages import document, words_of

    lines: list[str] = []
    for sheet in document("groyne", Paper.A4, System.INCH).sheets:
        lines += [f"== {_plain(sheet.title)}", *_once(_plain(words) for words in words_of(sheet))]
    return "\n".join(lines) + "\n"


def _plain(words: str) -> str:
    """Words with every number, whole or fraction, as one sign."""
    return re.sub(r"\d+(?:[./]\d+)*(?: \d+/\d+)?", "#", words)


def _once(lines: object) -> list[str]:
    """Each line once; bare figures are left out."""
    return [line for line in dict.fromkeys(lines) if re.search(r"[a-z]{2}", line)]  # type: ignore[call-overload]


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[2]))
    KEPT.write_text(job_sheet_words(), encoding="utf-8", newline="\n")
