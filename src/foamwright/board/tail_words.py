"""Tail forms in words: ``square, rounded corners``, ``swallow``, ``rounded pin``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.board.numbers import TailKind
from foamwright.findings import said
from foamwright.sheets.fields import did_you_mean, problem
from foamwright.units import quoted


class Corners(StrEnum):
    """How the corners of a block tail are cut."""

    SHARP = "sharp corners"
    ROUNDED = "rounded corners"


@dataclass(frozen=True, slots=True)
class TailForm:
    """A tail form as it was said; `corners` is `None` where nothing was said of them."""

    kind: TailKind | None
    corners: Corners | None = None


NO_TAIL = TailForm(None)
"""Stands where the form could not be read."""

POINTED = frozenset({TailKind.PIN, TailKind.ROUND, TailKind.ROUNDED_PIN})
"""Forms that end in a point or a round: their width at the tip is 0."""

CORNERED = frozenset({TailKind.SQUARE, TailKind.SQUASH})
"""Forms of which words say how their corners are cut."""

_KINDS = {
    **{str(kind): TailForm(kind) for kind in TailKind},
    "round pin": TailForm(TailKind.ROUNDED_PIN),
    "rounded square": TailForm(TailKind.SQUARE, Corners.ROUNDED),
}
_CORNERS = {
    **{str(corners): corners for corners in Corners},
    "round corners": Corners.ROUNDED,
    "soft corners": Corners.ROUNDED,
}


def read_tail_form(words: str) -> TailForm:
    """Return the tail form that was said.

    Raises
    ------
    pydantic_core.PydanticCustomError
        The words are no tail form.
    """
    first, *rest = [" ".join(part.split()).casefold() for part in words.split(",")]
    form = _KINDS.get(first.removesuffix(" tail"))
    if form is None:
        none = said("sheet.no-tail-form", "{written} is not a tail form.", written=quoted(words))
        raise problem(none, did_you_mean(first, _KINDS))
    for part in rest:
        form = TailForm(form.kind, _corners(words, form, part))
    return form


def _corners(words: str, form: TailForm, part: str) -> Corners:
    if part not in _CORNERS:
        nothing = said("sheet.nothing-of-tail", "“{part}” says nothing of a tail.", part=part)
        raise problem(nothing, did_you_mean(part, _CORNERS))
    if form.kind not in CORNERED:
        raise problem(
            said(
                "sheet.no-such-corners",
                "{written}: a {kind} tail has no such corners.",
                written=quoted(words),
                kind=str(form.kind),
            ),
            said("sheet.no-such-corners.remedy", "Leave the corners away."),
        )
    return _CORNERS[part]
