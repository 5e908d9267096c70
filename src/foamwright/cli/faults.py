"""A fault of ours: one sentence for the person, and a written report for whoever mends it."""

from __future__ import annotations

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

FAULT = 3
"""Exit code of a fault of ours."""


def report_fault(why: BaseException) -> int:
    """Write a report of an error that nobody foresaw, say where it is, and return the exit code.

    The report stays on this machine: it goes into the shop's data folder (``FOAMWRIGHT_DATA``), else into the
    user's folder for logs, else into the system's for temporary files.

    Parameters
    ----------
    why
        The error, with its traceback.

    Returns
    -------
    int
        3.
    """
    place = _written(_report(why))
    kind = "not enough memory" if isinstance(why, MemoryError) else type(why).__name__
    found = f"the report is in {place}" if place else "and no place was found to write a report of it"
    print(f"This is a fault of foamwright's own ({kind}), not of your sheets: {found}.", file=sys.stderr)
    return FAULT


def _report(why: BaseException) -> str:
    from foamwright import __version__

    told = "".join(traceback.format_exception(why))
    lines = (
        f"foamwright {__version__}, Python {platform.python_version()}, {platform.platform()}",
        f"command: {sys.argv}",
        f"folder: {_here()}",
        "",
        told,
    )
    return "\n".join(lines)


def _here() -> str:
    try:
        return str(Path.cwd())
    except OSError as why:
        # The folder one stands in may have been deleted, which can be the very fault.
        return f"gone ({why.strerror})"


def _written(report: str) -> Path | None:
    """Write the report into the first folder that takes it; its name is the moment and the process."""
    name = f"fault-{datetime.now(UTC):%Y%m%d-%H%M%S}-{os.getpid()}.txt"
    for folder in _folders():
        try:
            folder.mkdir(parents=True, exist_ok=True)
            # Command lines and paths are nobody else's business.
            with open(os.open(folder / name, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as stream:
                stream.write(report.encode("utf-8", "backslashreplace"))
        except OSError:
            continue
        return folder / name
    return None


def _folders() -> Iterator[Path]:
    named = os.environ.get("FOAMWRIGHT_DATA", "")
    if named:
        yield Path(named).expanduser().absolute() / "faults"
    try:
        from platformdirs import user_log_path

        yield user_log_path("foamwright", appauthor=False)
        yield Path(tempfile.gettempdir())
    except OSError:
        return
