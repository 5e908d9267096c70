"""The kinds of bottom contour there are, by the name they have in a sheet."""

from __future__ import annotations

from foamwright.board.contours.channels import Channels
from foamwright.board.contours.chine import Chine
from foamwright.board.contours.concave import Concave, DoubleConcave
from foamwright.board.contours.terms import Kind
from foamwright.board.contours.vee import Roll, Vee

_ALL: tuple[Kind, ...] = (Concave(), DoubleConcave(), Vee(), Roll(), Channels(), Chine())

KINDS: dict[str, Kind] = {kind.shape: kind for kind in _ALL}
