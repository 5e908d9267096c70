"""A first board from a rider's answers, and what each answer did: the board with only that answer changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from foamwright.board.board import Board, board_of
from foamwright.brief.brief import Brief, Wish, brief_for
from foamwright.brief.drafting import INCHES, MILLIMETRES
from foamwright.brief.kinds import Kind, Waves
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefJob
from foamwright.jobs.live_kept import Kept
from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Suit, Water
from foamwright.units import System, Unit

NAME = "rider"
"""What the board is called until a person names it."""


@dataclass(frozen=True, slots=True)
class Answers:
    """What a rider says. Kilograms, metres; `kind` ``None``: what suits."""

    mass: float = 74.0
    stature: float = 1.76
    experience: Experience = Experience.INTERMEDIATE
    waves: Waves = Waves.MEDIUM
    suit: Suit = Suit.THREE_TWO
    kind: Kind | None = None
    system: System = System.INCH


USUAL = Answers()
"""The rider that each answer is held against."""

ASKED = ("mass", "stature", "experience", "waves", "suit", "kind")
"""The questions, in their order."""


@dataclass(frozen=True, eq=False)
class First:
    """A first board: its sheet and the board; both empty where it is refused."""

    brief: Brief
    sheet: str
    board: Board | None


@dataclass(frozen=True, slots=True)
class Did:
    """What an answer did, against the usual one: litres, and metres of each size."""

    name: str
    litres: float
    length: float
    width: float
    thickness: float
    rocker: float


def first_board(answers: Answers) -> First:
    """Return the board for a rider's answers.

    Raises
    ------
    InputError
        No fair board has the numbers.
    """
    return _FIRSTS(answers)


def what_each_did(answers: Answers) -> tuple[Did, ...]:
    """Return what each answer that is not the usual one did: this board less that with the usual answer."""
    board = first_board(answers).board
    found = [_did(name, answers, board) for name in ASKED if getattr(answers, name) != getattr(USUAL, name)]
    return tuple(one for one in found if one is not None)


def _did(name: str, answers: Answers, board: Board | None) -> Did | None:
    changes: Mapping[str, object] = {name: getattr(USUAL, name)}
    try:
        other = first_board(replace(answers, **changes)).board  # type: ignore[arg-type]
    except InputError:
        return None
    if board is None or other is None:
        return None
    now, then = board.numbers, other.numbers
    return Did(
        name,
        1e3 * (board.mass.volume - other.mass.volume),
        now.length - then.length,
        now.wide - then.wide,
        now.thickest - then.thickest,
        float(board.rocker(board.length)) - float(other.rocker(other.length)),
    )


def _first(answers: Answers) -> First:
    water = Water(15.0, 35.0)
    rider = RiderNumbers(
        NAME, answers.mass, answers.stature, answers.experience, Lungs.RESTING, water, None, answers.suit
    )
    is_mm = answers.system is System.MM
    brief = brief_for(rider, Wish(answers.kind, answers.waves, {}, MILLIMETRES if is_mm else INCHES))
    if brief.made is None:
        return First(brief, "", None)
    job = BriefJob(brief, rider, answers.waves, Unit.MM if is_mm else Unit.INCH)
    return First(brief, job.sheet, board_of(brief.made.numbers, answers.system))


_FIRSTS = Kept(_first, 64)
