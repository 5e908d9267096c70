"""What a shaper would look at on a finished board's numbers, as findings with stable codes.

Each group of checks lives in its own module beside this one, its limits at the top of it. What the fin
boxes need stands with the fins (`foamwright.finish`); every code is explained in docs/findings.md.
"""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.board.checks_bottom import check_bottom
from foamwright.board.checks_curves import check_curves
from foamwright.board.checks_foil import check_foil
from foamwright.board.checks_outline import check_outline
from foamwright.board.checks_rails import check_rails
from foamwright.board.checks_rocker import check_rocker
from foamwright.board.checks_tips import check_tips
from foamwright.board.checks_usual import check_usual
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity, listed
from foamwright.units import System

CHECKS = (
    check_tips,
    check_curves,
    check_rocker,
    check_foil,
    check_outline,
    check_rails,
    check_bottom,
    check_usual,
)

_GRAVEST_FIRST = {Severity.STOP: 0, Severity.WARNING: 1, Severity.NOTE: 2}


def check_board(board: Board, system: System = System.INCH) -> tuple[Finding, ...]:
    """Return everything there is to say about a board, gravest first.

    Parameters
    ----------
    board
        The finished board.
    system
        Units of the sentences.
    """
    places = Places(board.length, system)
    found = [finding for check in CHECKS for finding in check(board, places)]
    return tuple(sorted(found, key=lambda finding: _GRAVEST_FIRST[finding.severity]))


def require_sound(board: Board, system: System = System.INCH) -> None:
    """Do nothing if no finding stops the board.

    Raises
    ------
    InputError
        The board cannot be shaped; holds every finding that stops it.
    """
    stops = [f for f in check_board(board, system) if f.severity is Severity.STOP]
    if stops:
        raise InputError([Problem(listed(board.name, f.where), f.sentence, f.remedy) for f in stops])
