"""Everything as one zip, as an answer."""

from __future__ import annotations

import tempfile
from typing import BinaryIO, cast

from fastapi.responses import StreamingResponse
from starlette.background import BackgroundTask

from foamwright.shop.database import Database
from foamwright.shop.exporting import export

IN_MEMORY = 8_000_000
_CHUNK = 262_144


def export_answer(database: Database) -> StreamingResponse:
    """Return everything as one zip, made whole before the first byte is sent."""
    stream = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115 - closed once the answer is sent
    export(database, cast(BinaryIO, stream))
    length = stream.tell()
    stream.seek(0)
    name = f"foamwright-{database.clock():%Y-%m-%d}.zip"
    return StreamingResponse(
        iter(lambda: stream.read(_CHUNK), b""),
        media_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="{name}"', "Content-Length": str(length)},
        background=BackgroundTask(stream.close),
    )
