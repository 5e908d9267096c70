"""Files of a plan in one zip."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

DATE = (1980, 1, 1, 0, 0, 0)
"""A fixed one: the same plan gives the same bytes."""


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Return files, name to bytes, as one zip."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, DATE), files[name])
    return stream.getvalue()
