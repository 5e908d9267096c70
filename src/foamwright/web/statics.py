"""Styles, scripts and fonts: read once at start, found by name in a table, never by a path on the disk.

The address holds a digest of everything, so a browser may keep a file for ever, and a new version of the
app is a new address.
"""

from __future__ import annotations

import gzip
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
}
FOR_EVER = "public, max-age=31536000, immutable"

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True)
class Static:
    """One file: its kind, its bytes, and the same packed (if that is smaller)."""

    kind: str
    plain: bytes
    packed: bytes | None


@cache
def all_statics() -> dict[str, Static]:
    """Return every file by its name, with ``/`` for folders."""
    return dict(_found(resources.files("foamwright.web").joinpath("static"), ""))


@cache
def version() -> str:
    """Return a digest of every file together."""
    digest = hashlib.sha256()
    for name, static in sorted(all_statics().items()):
        digest.update(name.encode() + static.plain)
    return digest.hexdigest()[:12]


def static_url(name: str) -> str:
    """Return the address of a file.

    Raises
    ------
    KeyError
        There is none of that name.
    """
    all_statics()[name]
    return f"/static/{version()}/{name}"


@router.get("/static/{digest}/{name:path}")
async def static(request: Request, digest: str, name: str) -> Response:
    """Answer with a file; one of another version is not kept."""
    found = all_statics().get(name)
    if found is None:
        raise HTTPException(404)
    headers = {"Cache-Control": FOR_EVER if digest == version() else "no-cache", "Vary": "Accept-Encoding"}
    if found.packed is not None and "gzip" in request.headers.get("accept-encoding", ""):
        return Response(found.packed, media_type=found.kind, headers={**headers, "Content-Encoding": "gzip"})
    return Response(found.plain, media_type=found.kind, headers=headers)


def _found(folder: Traversable, prefix: str) -> Iterator[tuple[str, Static]]:
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        if entry.is_dir():
            yield from _found(entry, f"{prefix}{entry.name}/")
        elif (kind := KINDS.get("." + entry.name.rpartition(".")[2])) is not None:
            plain = entry.read_bytes()
            packed = gzip.compress(plain, 9, mtime=0)
            yield prefix + entry.name, Static(kind, plain, packed if len(packed) < 0.9 * len(plain) else None)
