"""The kinds of bottom contour there are, by the name they have in a sheet."""

from __future__ import annotations

from foamwright.board.contours.channels import Channels
from foamwright.board.contours.chine import Chine
from foamwright.board.contours.concave import Concave, DoubleConcave
from foamwright.board.contours.terms import Kind, Stretch, Term
from foamwright.board.contours.vee import Roll, Vee

_ALL: tuple[Kind, ...] = (Concave(), DoubleConcave(), Vee(), Roll(), Channels(), Chine())

KINDS: dict[str, Kind] = {kind.shape: kind for kind in _ALL}


def term_of(shape: str, stretch: Stretch, **numbers: float) -> Term:
    """Return a contour of a kind with these numbers, and with its usual ones for the rest."""
    keys = KINDS[shape].keys
    usual = {key.name: float(key.usual) for key in keys if isinstance(key.usual, int | float)}
    words = {key.name: key.usual for key in keys if isinstance(key.usual, str)}
    given = {key.name: numbers.get(key.name, usual.get(key.name)) for key in keys}
    return Term(shape, {name: n for name, n in given.items() if n is not None}, stretch, words)
