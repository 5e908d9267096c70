"""Which kind a rider should have, and whether to say something, to warn, or to refuse.

Rules are common practice, no source: waves say what a rider may need, experience says what he can ride.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from foamwright.brief.kinds import Kind, Waves, board_word
from foamwright.brief.law import is_small
from foamwright.findings import Finding, Severity
from foamwright.sheets.rider import AgeGroup, Experience, RiderNumbers


class Verdict(StrEnum):
    """A board; a board and a sentence; a board after a warning; no board."""

    OK = "ok"
    NOTE = "note"
    WARN = "warn"
    REFUSE = "refuse"


_WORST = {Severity.NOTE: Verdict.NOTE, Severity.WARNING: Verdict.WARN, Severity.STOP: Verdict.REFUSE}


def verdict_of(findings: tuple[Finding, ...]) -> Verdict:
    """Return the verdict that findings make: the worst of them."""
    found = {_WORST[finding.severity] for finding in findings}
    return next((one for one in (Verdict.REFUSE, Verdict.WARN, Verdict.NOTE) if one in found), Verdict.OK)


@dataclass(frozen=True)
class Advice:
    """The kind a rider gets, and what there is to say about it."""

    kind: Kind
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of what is said."""
        return verdict_of(self.findings)


_STEEP = (Kind.STEP_UP, Kind.GUN)
_QUICK = (Kind.PERFORMANCE, Kind.FISH, Kind.TWIN_KEEL, Kind.SMALL_WAVE)
_BIG = (Waves.LARGE, Waves.HUGE)
LIGHT = 60.0
"""kg under which a beginner's board is a mid-length: a long board is too much to carry and to turn."""

CHILD_MOST = 50.0
"""kg that a child's board carries."""


def advice_for(rider: RiderNumbers, asked: Kind | None, waves: Waves) -> Advice:
    """Return the kind for a rider in waves, and what to say.

    Parameters
    ----------
    rider
        Who rides.
    asked
        The kind asked for; ``None``: what suits.
    waves
        How big.
    """
    kind = kind_for(rider, asked, waves)
    found = [*_no_paddle(kind), *_by_experience(rider, kind, asked, waves)]
    if is_small(rider):
        found = [*_child(rider, kind, asked, waves)]
    elif kind is Kind.CHILD and rider.mass > CHILD_MOST:
        found.append(_too_heavy_for_child(rider))
    if not any(finding.severity is Severity.STOP for finding in found):
        found += [*_by_waves(kind, asked, waves), *_foil(kind)]
    return Advice(kind, tuple(found))


def kind_for(rider: RiderNumbers, asked: Kind | None, waves: Waves) -> Kind:
    """Return the kind: what was asked for, but a child gets a child's board or a long board."""
    if is_small(rider):
        return asked if asked in (Kind.LONG_BOARD, Kind.NOSERIDER, Kind.PADDLE) else Kind.CHILD
    return usual_kind(rider.experience, waves, rider.mass) if asked is None else asked


def usual_kind(experience: Experience, waves: Waves, mass: float) -> Kind:
    """Return the kind that suits a grown rider of a mass in kg, where none is asked for."""
    if experience is Experience.BEGINNER:
        return Kind.MID_LENGTH if mass < LIGHT else Kind.LONG_BOARD
    if waves in _BIG:
        return Kind.STEP_UP if waves is Waves.LARGE else Kind.GUN
    if experience is Experience.INTERMEDIATE:
        return Kind.MID_LENGTH
    return Kind.SMALL_WAVE if waves is Waves.SMALL else Kind.PERFORMANCE


def learners_board(rider: RiderNumbers) -> Kind:
    """Return the board to learn on."""
    return Kind.CHILD if is_small(rider) else usual_kind(Experience.BEGINNER, Waves.SMALL, rider.mass)


def _finding(code: str, severity: Severity, sentence: str, remedy: str) -> Finding:
    return Finding(code, severity, "rider", None, None, "1", sentence, remedy)


def _no_paddle(kind: Kind) -> Iterator[Finding]:
    if kind is Kind.PADDLE:
        yield _finding(
            "brief-paddle",
            Severity.STOP,
            "Paddle boards are not drawn here: they take blanks of 30 in and a laminate of their own.",
            "Ask for a long board, or draw the board sheet by hand.",
        )


def _by_experience(rider: RiderNumbers, kind: Kind, asked: Kind | None, waves: Waves) -> Iterator[Finding]:
    if kind is Kind.PADDLE:
        return
    if rider.experience is Experience.BEGINNER:
        yield from _beginner(rider, kind, asked, waves)
    elif rider.experience is Experience.INTERMEDIATE:
        yield from _intermediate(kind, waves)
    elif waves is Waves.HUGE:
        yield _finding(
            "brief-waves",
            Severity.NOTE,
            "Huge waves want training, a partner and safety kit, whatever the board.",
            "Build up to them over seasons, and go with people who know the place.",
        )


def _beginner(rider: RiderNumbers, kind: Kind, asked: Kind | None, waves: Waves) -> Iterator[Finding]:
    board = f"a {board_word(learners_board(rider))} for small, soft waves"
    if waves is Waves.HUGE or kind in _STEEP:
        danger = f"A {board_word(kind)}" if kind in _STEEP and asked is not None else "A board for such waves"
        yield _finding(
            "brief-waves",
            Severity.STOP,
            f"{danger} is a danger to a beginner and to others: its waves are not for a beginner.",
            f'Take {board} instead (--kind "{learners_board(rider)}" --waves small).',
        )
        return
    if waves is Waves.LARGE:
        yield _finding(
            "brief-waves",
            Severity.WARNING,
            "Large waves are not for a beginner: the board does not make up for it.",
            f"Learn on {board}; this one is made for those.",
        )
    if kind in _QUICK:
        yield _finding(
            "brief-skill",
            Severity.WARNING,
            f"A {board_word(kind)} is too small for a beginner: it neither paddles well nor stands still.",
            "Take a mid-length or a long board instead"
            + (", or a child's board." if rider.age in (AgeGroup.CHILD, AgeGroup.TEEN) else "."),
        )
    elif waves is Waves.MEDIUM:
        yield _finding(
            "brief-waves",
            Severity.NOTE,
            "A beginner learns in small, soft waves; medium ones come later.",
            "Start where the waves are knee to waist high and break over sand.",
        )


def _intermediate(kind: Kind, waves: Waves) -> Iterator[Finding]:
    if waves is Waves.HUGE:
        yield _finding(
            "brief-waves",
            Severity.STOP,
            "Huge waves are not for an intermediate rider: whoever falls there must know how to survive it.",
            "Take a step-up for large waves instead (--kind step-up --waves large), and learn from there.",
        )
    elif kind is Kind.GUN:
        yield _finding(
            "brief-skill",
            Severity.WARNING,
            "A gun is for waves at the edge of what an intermediate rider should ride, and stiff in others.",
            "A step-up does the same up to 3 m and is ridden more often.",
        )
    elif waves is Waves.LARGE:
        yield _finding(
            "brief-waves",
            Severity.NOTE,
            "Large waves are the edge of what an intermediate rider should ride.",
            "Go on the smaller days of such a swell, where you know the place.",
        )


def _child(rider: RiderNumbers, kind: Kind, asked: Kind | None, waves: Waves) -> Iterator[Finding]:
    if kind is Kind.PADDLE:
        yield from _no_paddle(kind)
        return
    if waves in _BIG:
        begins = " who begins" if rider.experience is Experience.BEGINNER else ""
        yield _finding(
            "brief-waves",
            Severity.STOP,
            f"{str(waves).capitalize()} waves are not for a child{begins}, on any board.",
            "Take a child's board for small waves (--kind child --waves small).",
        )
        return
    if kind is Kind.CHILD and asked not in (None, Kind.CHILD):
        assert asked is not None
        yield _finding(
            "brief-child",
            Severity.NOTE,
            f"A child's board is drawn instead of a {board_word(asked)}: a child needs more litres for each "
            "kilogram, and soft edges.",
            "At about 48 kg the grown riders' boards begin to fit.",
        )
    if rider.experience is Experience.BEGINNER and waves is Waves.MEDIUM:
        yield _finding(
            "brief-waves",
            Severity.NOTE,
            "A child who is a beginner learns in small, soft waves, with somebody beside.",
            "Start where the waves are knee high and break over sand.",
        )


def _too_heavy_for_child(rider: RiderNumbers) -> Finding:
    return _finding(
        "brief-carries",
        Severity.WARNING,
        f"A child's board carries up to about {CHILD_MOST:.0f} kg, and the rider weighs {rider.mass:.0f} kg.",
        "Take a performance board, or a mid-length to learn on.",
    )


_TOO_BIG_FOR = {
    Kind.NOSERIDER: "a step-up",
    Kind.LONG_BOARD: "a step-up",
    Kind.MID_LENGTH: "a step-up",
    Kind.FISH: "a step-up",
    Kind.TWIN_KEEL: "a step-up",
    Kind.SMALL_WAVE: "a step-up",
    Kind.FOIL: "a step-up",
}
"""What to ride in large waves instead of the kinds for smaller ones."""


def _by_waves(kind: Kind, asked: Kind | None, waves: Waves) -> Iterator[Finding]:
    """Say where a kind that was asked for is not made for the waves."""
    if asked is None or kind in (Kind.CHILD, Kind.PADDLE):
        return
    word = board_word(kind)
    if waves is Waves.HUGE and kind is not Kind.GUN:
        yield _finding(
            "brief-kind-waves",
            Severity.WARNING,
            f"A {word} is too little board for huge waves: it neither catches them nor holds.",
            "Take a gun instead (--kind gun).",
        )
    elif waves is Waves.LARGE and kind in _TOO_BIG_FOR:
        yield _finding(
            "brief-kind-waves",
            Severity.NOTE,
            f"A {word} is made for smaller waves than large ones.",
            f"Take {_TOO_BIG_FOR[kind]} where they are hollow.",
        )
    elif (waves is Waves.SMALL and kind in _STEEP) or (waves is Waves.MEDIUM and kind is Kind.GUN):
        yield _finding(
            "brief-kind-waves",
            Severity.NOTE,
            f"A {word} is made for larger waves; in {waves} ones it is slow and stiff.",
            "Take a small-wave or a performance board for those.",
        )


def _foil(kind: Kind) -> Iterator[Finding]:
    if kind is Kind.FOIL:
        yield _finding(
            "brief-foil",
            Severity.NOTE,
            "A foil cuts: its wings and mast wound rider and others, in the water and on the beach.",
            "Keep clear of people, wear helmet and vest, cover the edges ashore.",
        )
