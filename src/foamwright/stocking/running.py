"""Running a study: what is kept is not done again, and every chunk is kept as soon as it is done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import BlankNumbers
from foamwright.board.numbers import BoardNumbers
from foamwright.errors import FaultError
from foamwright.lay.profiles import BlankProfile, Floats, held
from foamwright.lay.rack import Rack
from foamwright.stocking.chunks import Store, packed
from foamwright.stocking.hands import Hands
from foamwright.stocking.laying import WORK, Laid, foam_in, lay_boards, profiles_of
from foamwright.stocking.progress import Progress, to_standard_error
from foamwright.stocking.study import Span, Study

BLANKS_AT_ONCE = 20
"""Blanks made solid in one job."""


@dataclass(frozen=True, eq=False)
class Lays:
    """All lays of a study.

    Attributes
    ----------
    store
        Where the chunks are; the full cells stay on disk.
    work
        (boards, blanks) minutes at the best lay, NaN where the board does not lie in the blank.
    board_foam, blank_foam
        (boards,), (blanks,) volumes, m3.
    to_order
        (boards, 2) minutes and m3 of a blank made to order.
    slides
        Lays that were tried on the grid of slides.
    """

    store: Store
    work: Floats
    board_foam: Floats
    blank_foam: Floats
    to_order: Floats
    slides: int


@dataclass(frozen=True, eq=False)
class Shared:
    """What all chunks of a study need."""

    rack: Rack
    bay: Bay
    step: float


def run_study(
    study: Study, store: Store, hands: Hands, say: Callable[[str], None] = to_standard_error
) -> Lays:
    """Return all lays of a study, doing only what is not kept.

    Parameters
    ----------
    study
        Boards and blanks.
    store
        Where chunks are kept.
    hands
        Who does it: any split gives the same bits.
    say
        Takes lines on how far it is.

    Raises
    ------
    InputError
        A board or a blank is not fair; the folder cannot be written to. What is done is kept.
    """
    blanks = made_solid(study.blanks, hands)
    missing = [span for span in study.spans if store.kept(span) is None]
    broken = [span.name for span in missing if store.damaged(span)]
    if broken:
        say(f"{len(broken)} kept parts are damaged and are done again: {', '.join(broken[:3])}.")
    elif missing and len(missing) < len(study.spans):
        say(f"{len(study.spans) - len(missing)} of {len(study.spans)} parts are kept from before.")
    _do(study, blanks, missing, (store, hands, say))
    return _gathered(study, blanks, store)


def made_solid(numbers: Sequence[BlankNumbers], hands: Hands) -> tuple[BlankProfile, ...]:
    """Return blanks as profiles, made by all hands."""
    parts = [tuple(numbers[n : n + BLANKS_AT_ONCE]) for n in range(0, len(numbers), BLANKS_AT_ONCE)]
    made: dict[int, tuple[BlankProfile, ...]] = dict(hands.each(solid_task, None, parts))
    return tuple(profile for n in range(len(parts)) for profile in made[n])


def _do(
    study: Study,
    blanks: tuple[BlankProfile, ...],
    missing: Sequence[Span],
    means: tuple[Store, Hands, Callable[[str], None]],
) -> None:
    store, hands, say = means
    if not missing:
        return
    progress = Progress("boards laid", sum(span.end - span.begin for span in missing), say)
    shared = Shared(Rack(blanks), study.bay, study.step)
    jobs = [study.boards(span) for span in missing]
    for place, body in hands.each(lay_task, shared, jobs):
        span = missing[place]
        store.keep(span, body)
        progress.more(span.end - span.begin)


def solid_task(shared: None, blanks: tuple[BlankNumbers, ...]) -> tuple[BlankProfile, ...]:
    """Return blanks as profiles."""
    return profiles_of(blanks)


def lay_task(shared: Shared, boards: tuple[BoardNumbers, ...]) -> bytes:
    """Return boards laid in all blanks, packed."""
    return packed(lay_boards(boards, shared.rack, shared.bay, shared.step))


def _gathered(study: Study, blanks: Sequence[BlankProfile], store: Store) -> Lays:
    """Read the chunks one after the other; of each only what the choice needs stays in memory."""
    parts = [_read(store, span) for span in study.spans]
    return Lays(
        store,
        work=held(np.concatenate([part.cells[:, :, WORK] for part in parts])),
        board_foam=held(np.concatenate([part.volume for part in parts])),
        blank_foam=held(np.array([foam_in(blank) for blank in blanks])),
        to_order=held(np.concatenate([part.to_order for part in parts])),
        slides=sum(part.slides for part in parts),
    )


def _read(store: Store, span: Span) -> Laid:
    laid = store.kept(span)
    if laid is None:
        raise FaultError(f"{store.path(span)} was damaged while the study ran. The same command mends it.")
    # A copy of one column lets go of the others.
    return Laid(laid.cells[:, :, : WORK + 1].copy(), laid.volume, laid.to_order, laid.slides)
