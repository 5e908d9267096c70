"""Chunks of a study on disk: each in its own file that proves itself, written whole or not at all."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from foamwright.files import write_atomically
from foamwright.stocking.laying import Laid
from foamwright.stocking.study import Span

MARK = b"foamwright lays 1\n"


@dataclass(frozen=True, slots=True)
class Store:
    """The chunks of one study, in a folder named by its key, so that studies never mix."""

    folder: Path
    key: str

    @staticmethod
    def within(folder: Path, key: str) -> Store:
        """Return the store of a study inside a folder."""
        return Store(folder / f"lays-{key[:16]}", key)

    def path(self, span: Span) -> Path:
        """Return where a chunk is kept."""
        return self.folder / f"{span.name}.lays"

    def keep(self, span: Span, body: bytes) -> None:
        """Write a chunk, as `packed` makes it, whole, or leave what was there.

        Raises
        ------
        InputError
            The place cannot be written to (full disk, rights).
        """
        write_atomically(self.path(span), MARK + self._proof(span, body) + body)

    def kept(self, span: Span) -> Laid | None:
        """Return a chunk, or ``None`` if it is missing, damaged, or of another study."""
        try:
            content = self.path(span).read_bytes()
        except OSError:
            return None
        head = len(MARK) + hashlib.sha256().digest_size
        body = content[head:]
        if content[:head] != MARK + self._proof(span, body):
            return None
        return unpacked(body)

    def damaged(self, span: Span) -> bool:
        """Return whether a chunk is there but does not prove itself."""
        return self.path(span).exists() and self.kept(span) is None

    def _proof(self, span: Span, body: bytes) -> bytes:
        return hashlib.sha256(self.key.encode() + span.name.encode() + body).digest()


def packed(laid: Laid) -> bytes:
    """Return some laid boards as bytes; the same values give the same bytes."""
    stream = io.BytesIO()
    for array in (laid.cells, laid.volume, laid.to_order, np.array(laid.slides)):
        np.save(stream, array, allow_pickle=False)
    return stream.getvalue()


def unpacked(body: bytes) -> Laid:
    """Return what `packed` packed."""
    stream = io.BytesIO(body)
    cells, volume, to_order, slides = (np.load(stream, allow_pickle=False) for _ in range(4))
    return Laid(cells, volume, to_order, int(slides))
