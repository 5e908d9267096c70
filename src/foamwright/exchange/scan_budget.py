"""How much a reader of scans takes, counted before the memory for it is taken.

Measured on two shared cores: a million triangles of any format take under 1 GB and 10 s with these limits.
"""

from __future__ import annotations

MOST_TRIANGLES = 1_000_000
"""Triangles of a file, and of what a 3MF builds: every 2 mm on a board 3 m long."""

MOST_CORNERS = 3 * MOST_TRIANGLES
"""Vertices of a file: an STL names each corner of each triangle anew."""

MOST_PIECES = 1_500_000
"""Pieces that long triangles are cut into: each takes some 400 bytes while they are."""

MOST_BYTES = 120_000_000
"""Bytes of a file, and of the model in a 3MF: a million triangles as a text come to some 80 MB."""

FARTHEST = 1e7
"""Coordinates beyond this make no board in any unit, and would overflow when squared."""


class FormatError(ValueError):
    """What is wrong with a file, as the end of a sentence."""


def require_few(count: int, what: str, most: int) -> None:
    """Refuse more of something than is taken.

    Raises
    ------
    FormatError
        Says how many there are and how many are taken.
    """
    if count > most:
        raise FormatError(f"it holds {count:,} {what}, and at most {most:,} are taken")
