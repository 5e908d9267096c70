"""A study: what is laid in what, with a key that names it, cut into chunks that can be done anywhere."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import BlankNumbers
from foamwright.board.numbers import BoardNumbers
from foamwright.stocking.demand import Expected
from foamwright.stocking.laying import STEP

CHUNK = 16
"""Boards of a chunk: a second or two of work, so that little is lost and little is said."""

DECIDING = ("shape", "board", "blank", "lay", "stocking/laying.py", "stations.py", "units")
"""Parts of foamwright whose code decides the cells."""


@dataclass(frozen=True, slots=True)
class Span:
    """The boards from `begin` to before `end`."""

    begin: int
    end: int

    @property
    def name(self) -> str:
        """What its file is called."""
        return f"boards-{self.begin:06d}-{self.end:06d}"


@dataclass(frozen=True)
class Study:
    """Expected boards, candidate blanks, the bay, and the grid of slides (metres)."""

    demand: tuple[Expected, ...]
    blanks: tuple[BlankNumbers, ...]
    bay: Bay
    step: float = STEP

    @cached_property
    def key(self) -> str:
        """Names the study: the same boards, blanks, bay, step and code, and only these, have the same key."""
        boards = tuple(one.board for one in self.demand)
        said = repr((boards, self.blanks, self.bay, self.step, code_form()))
        return hashlib.sha256(said.encode()).hexdigest()

    @property
    def spans(self) -> tuple[Span, ...]:
        """The chunks."""
        count = len(self.demand)
        return tuple(Span(n, min(n + CHUNK, count)) for n in range(0, count, CHUNK))

    def boards(self, span: Span) -> tuple[BoardNumbers, ...]:
        """Return the boards of a chunk."""
        return tuple(one.board for one in self.demand[span.begin : span.end])


@lru_cache(maxsize=1)
def code_form() -> str:
    """Return the digest of the code that decides the cells: equal on two machines, equal cells."""
    root = Path(__file__).resolve().parent.parent
    digest = hashlib.sha256()
    for part in DECIDING:
        place = root / part
        for path in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()
