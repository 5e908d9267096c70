"""Reading the text of a sheet from disk, and saying plainly why it cannot be read."""

from __future__ import annotations

import codecs
import difflib
import os
import sys
from pathlib import Path

from foamwright.errors import InputError, Problem
from foamwright.findings import listed, said

MOST_BYTES = 1_000_000
"""No sheet that a person wrote is larger."""

STANDARD_INPUT = "-"
"""Stands for what is piped in, as other commands have it; a file of that name is ``./-``."""

_OTHER_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_SAVE_AS = said("sheet.file.save-as", "Save it as UTF-8 text.")


def read_text(path: str | os.PathLike[str]) -> str:
    """Return the text of a UTF-8 file, without the byte order mark that some editors put before it.

    ``-`` reads standard input.

    Raises
    ------
    InputError
        The file is missing, a folder, not readable, too large, or no UTF-8.
    """
    file = Path(path)
    data = _read_bytes(file)
    if len(data) > MOST_BYTES:
        raise _error(
            file,
            said("sheet.file.large", "This file is larger than 1 MB."),
            said("sheet.file.large.remedy", "A sheet is a page of text; check that this is the right file."),
        )
    if data.startswith(_OTHER_MARKS):
        raise _error(file, said("sheet.file.utf-16", "This file is saved as UTF-16."), _SAVE_AS)
    return _decoded(file, data.removeprefix(codecs.BOM_UTF8))


def _read_bytes(file: Path) -> bytes:
    try:
        if str(file) == STANDARD_INPUT:
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        with file.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _error(
            file, said("sheet.file.none", "This file does not exist."), _missing_remedy(file)
        ) from None
    except IsADirectoryError:
        raise _folder(file) from None
    except PermissionError:
        # Windows answers so for a folder too.
        if file.is_dir():
            raise _folder(file) from None
        raise _error(
            file,
            said("sheet.file.forbidden", "This file may not be read."),
            said("sheet.file.forbidden.remedy", "Ask for the right to read it, or copy it."),
        ) from None
    except OSError as why:
        raise _error(
            file,
            said("sheet.file.unreadable", "This file cannot be read ({why}).", why=str(why.strerror)),
            said("sheet.file.unreadable.remedy", "Check the name and the disk."),
        ) from None
    except ValueError:
        raise _error(
            file,
            said("sheet.file.no-name", "This file is not a file name."),
            said("sheet.file.no-name.remedy", "Check the name."),
        ) from None


def _folder(file: Path) -> InputError:
    what = said("sheet.file.folder", "This file is a folder.")
    return _error(file, what, said("sheet.file.folder.remedy", "Name the sheet inside it."))


def _decoded(file: Path, data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as why:
        line = data.count(b"\n", 0, why.start) + 1
        where = listed(file.name, said("sheet.line", "line {line}", line=str(line)))
        what = said("sheet.file.no-text", "This is not UTF-8 text.")
        raise InputError(Problem(where, what, _SAVE_AS)) from None


def _missing_remedy(file: Path) -> str:
    try:
        names = sorted(entry.name for entry in file.parent.iterdir() if entry.is_file())
    except OSError:
        return said(
            "sheet.file.no-folder",
            "There is no folder {folder} either; check the path.",
            folder=str(file.parent),
        )
    if near := difflib.get_close_matches(file.name, names, n=1):
        return said("sheet.file.near", "Did you mean {near}?", near=near[0])
    folder = str(file.parent.absolute())
    return said("sheet.file.in-folder", "Check the name; the folder is {folder}.", folder=folder)


def _error(file: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(str(file).replace("\0", "␀"), what, remedy))
