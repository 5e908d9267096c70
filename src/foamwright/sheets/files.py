"""Reading the text of a sheet from disk, and saying plainly why it cannot be read."""

from __future__ import annotations

import codecs
import difflib
import os
from pathlib import Path

from foamwright.errors import InputError, Problem

MOST_BYTES = 1_000_000
"""No sheet that a person wrote is larger."""

_OTHER_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_SAVE_AS = "Save it as UTF-8 text."


def read_text(path: str | os.PathLike[str]) -> str:
    """Return the text of a UTF-8 file, without the byte order mark that some editors put before it.

    Raises
    ------
    InputError
        The file is missing, a folder, not readable, too large, or no UTF-8.
    """
    file = Path(path)
    data = _read_bytes(file)
    if len(data) > MOST_BYTES:
        raise _error(
            file, "is larger than 1 MB.", "A sheet is a page of text; check that this is the right file."
        )
    if data.startswith(_OTHER_MARKS):
        raise _error(file, "is saved as UTF-16.", _SAVE_AS)
    return _decoded(file, data.removeprefix(codecs.BOM_UTF8))


def _read_bytes(file: Path) -> bytes:
    try:
        with file.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _error(file, "does not exist.", _missing_remedy(file)) from None
    except IsADirectoryError:
        raise _error(file, "is a folder.", "Name the sheet inside it.") from None
    except PermissionError:
        # Windows answers so for a folder too.
        if file.is_dir():
            raise _error(file, "is a folder.", "Name the sheet inside it.") from None
        raise _error(file, "may not be read.", "Ask for the right to read it, or copy it.") from None
    except OSError as why:
        raise _error(file, f"cannot be read ({why.strerror}).", "Check the name and the disk.") from None
    except ValueError:
        raise _error(file, "is not a file name.", "Check the name.") from None


def _decoded(file: Path, data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as why:
        line = data.count(b"\n", 0, why.start) + 1
        where = f"{file.name}, line {line}"
        raise InputError(Problem(where, "This is not UTF-8 text.", _SAVE_AS)) from None


def _missing_remedy(file: Path) -> str:
    try:
        names = sorted(entry.name for entry in file.parent.iterdir() if entry.is_file())
    except OSError:
        return f"There is no folder {file.parent} either; check the path."
    near = difflib.get_close_matches(file.name, names, n=1)
    return f"Did you mean {near[0]}?" if near else f"Check the name; the folder is {file.parent.absolute()}."


def _error(file: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(str(file).replace("\0", "␀"), f"This file {what}", remedy))
