"""What a sheet does not say, and what is taken for it: a note each, never a silent default."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.board.sections import USUAL_CROWN, USUAL_ROLL, USUAL_TUCK
from foamwright.findings import Finding, Severity, said

USUAL = "usual-taken"
"""Code of these notes, which stand apart from what there is to warn of."""


def check_usual(board: Board, places: Places) -> list[Finding]:
    """Return a note for each number that the sheet left to what is usual."""
    return [_note(board, key, places) for key in board.numbers.assumed]


def _note(board: Board, key: str, places: Places) -> Finding:
    sentence, remedy = {
        "wide_at": (
            said(
                "usual-taken.wide",
                "The sheet does not say where the wide point is; {place} is taken.",
                place=places.at(board.outline.wide_at),
            ),
            said("usual-taken.wide.remedy", "Write wide_at in [outline] if it lies elsewhere."),
        ),
        "thickest_at": (
            said(
                "usual-taken.thickest",
                "The sheet does not say where the thickest point is; {place} is taken.",
                place=places.at(board.thickest_at),
            ),
            said("usual-taken.thickest.remedy", "Write thickest_at in [thickness] if it lies elsewhere."),
        ),
        "tuck": (
            said(
                "usual-taken.tuck",
                "The sheet does not say every tuck; {tuck} is taken.",
                tuck=places.amount(USUAL_TUCK),
            ),
            said("usual-taken.tuck.remedy", "Write tuck beside each apex in [rails]."),
        ),
        "deck": (
            said(
                "usual-taken.deck",
                "The sheet does not say the deck; a crown of {crown} and a roll of {roll} at the centre are "
                "taken.",
                crown=places.amount(USUAL_CROWN),
                roll=places.amount(USUAL_ROLL),
            ),
            said("usual-taken.deck.remedy", "Write crown and roll in [deck]."),
        ),
    }[key]
    return Finding(
        USUAL, Severity.NOTE, said("where.board", "the whole board"), None, None, "1", sentence, remedy
    )
