"""Writing files so that there is never half a file, nor half a set: beside the target first, then renamed.

Several files cannot be renamed in one step. So a set first lies beside its targets, safe on the disk; then a
small file says what is to be renamed; then that is done. Whatever ends the program before that file is there
changes nothing; after it, `settle_folder` at the next run, of whoever reads or writes there, carries it
through.
"""

from __future__ import annotations

import errno
import hashlib
import json
import os
import re
import sys
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from foamwright.errors import InputError, Problem

_REASONS = {
    errno.ENOSPC: ("the disk is full.", "Free some space, or write to another folder."),
    errno.EDQUOT: ("your share of the disk is used up.", "Free some space, or write to another folder."),
    errno.EACCES: ("you may not write there.", "Choose a folder you may write to."),
    errno.EPERM: ("you may not write there.", "Choose a folder you may write to."),
    errno.EROFS: ("that disk can only be read.", "Choose a folder on another disk."),
    errno.ENOTDIR: ("a file stands where a folder is needed.", "Choose another folder."),
    errno.EEXIST: ("a file stands where a folder is needed.", "Choose another folder."),
    errno.EISDIR: ("a folder of that name stands there.", "Choose another name, or move the folder."),
    errno.ENAMETOOLONG: ("the name is too long.", "Choose a shorter name."),
    errno.EFBIG: ("the file is larger than that disk takes.", "Write to another disk."),
}


def write_atomically(path: Path, content: bytes) -> None:
    """Write one file whole, or leave what was there untouched.

    Parameters
    ----------
    path
        Target; missing folders above it are made.
    content
        The file's bytes.

    Raises
    ------
    InputError
        The place cannot be written to (rights, full disk, a folder in the way); nothing is left behind.
    """
    write_folder_atomically(path.parent, {path.name: content})


def write_folder_atomically(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Write a set of files that belong together: all of them, or none.

    Every file is first written in full beside its target; only when all are safe on the disk, and what is
    to be renamed is written down, are they renamed, which needs no more space. (A link's target lies
    elsewhere and is renamed with the others, but not carried through if the program is killed between two.)

    Parameters
    ----------
    folder
        Where they go; made (with the folders above it) if it is not there.
    contents
        File name, with ``/`` for folders inside `folder`, to bytes.

    Raises
    ------
    InputError
        The place cannot be written to; nothing of the set, and no folder made for it, is left behind.
    """
    settle_folder(folder)
    made: list[Path] = []
    waiting: dict[Path, Path] = {}
    noted: Path | None = None
    try:
        for name, content in contents.items():
            target = final_place(folder / name)
            _make_folder(target.parent, made)
            _refuse_other(target)
            _clear_left(target.parent)
            waiting[target] = _beside(target)
            _write_through(waiting[target], content)
        for place in {target.parent for target in waiting}:
            _sync_folder(place)
        noted = _note(folder, contents, waiting) if len(waiting) > 1 else None
    except OSError as error:
        _clear(waiting, made)
        raise unwritten(error, folder) from error
    except BaseException:
        _clear(waiting, made)
        raise
    try:
        _rename_all(waiting, noted)
    except OSError as error:
        if noted is None:
            # One file: nothing was written down that a later run could carry through.
            _clear(waiting, made)
        raise unwritten(error, folder) from error


def settle_folder(folder: Path) -> None:
    """Carry through the change of a folder that was broken off, and clear away what never came to a change.

    Parameters
    ----------
    folder
        Where files are read or written; it need not be there.

    Raises
    ------
    InputError
        What was written down of the change is not what lies there, or it cannot be carried through.
    """
    noted = folder / _CHANGE
    try:
        if noted.is_file():
            _rename_all(_noted_change(folder, noted.read_bytes()), noted)
        _clear_left(folder)
    except OSError as error:
        raise unwritten(error, folder) from error


_PART = ".foamwright.part"
"""Ending of files that wait beside their targets: nobody else's end so, and may be cleared away."""

_CHANGE = ".foamwright-change.json"
"""What is to be renamed, while it is being renamed: name to digest of the new content, and whose it is."""


def _note(folder: Path, contents: Mapping[str, bytes], waiting: Mapping[Path, Path]) -> Path:
    """Write down which files of a folder, safe beside their targets, are to take their places."""
    inside = {
        name: hashlib.sha256(content).hexdigest()
        for name, content in contents.items()
        if folder / name in waiting
    }
    noted = folder / _CHANGE
    beside = _beside(noted)
    try:
        _write_through(beside, json.dumps({"process": os.getpid(), "files": inside}).encode())
        beside.replace(noted)
    except BaseException:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    _sync_folder(folder)
    return noted


def _rename_all(waiting: Mapping[Path, Path], noted: Path | None) -> None:
    for target, beside in waiting.items():
        # Another run that came to this folder meanwhile may have renamed it already.
        with suppress(FileNotFoundError):
            beside.replace(target)
    for place in {target.parent for target in waiting}:
        _sync_folder(place)
    if noted is not None:
        noted.unlink(missing_ok=True)


def _noted_change(folder: Path, content: bytes) -> dict[Path, Path]:
    """Return target to the file beside it, of those that still wait; only plain files of this very folder."""
    try:
        noted = json.loads(content)
        process, files = int(noted["process"]), dict(noted["files"])
        waiting: dict[Path, Path] = {}
        for name, digest in files.items():
            target = folder / name
            beside = target.with_name(f".{target.name}.{process}{_PART}")
            if (
                Path(name).is_absolute()
                or ".." in Path(name).parts
                or target.is_symlink()
                or beside.is_symlink()
            ):
                raise ValueError(name)
            if beside.exists():
                if hashlib.sha256(beside.read_bytes()).hexdigest() != digest:
                    raise ValueError(name)
                waiting[target] = beside
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        what = (
            "A change of this folder was broken off, and what was written down of it is not what lies here."
        )
        remedy = f"Take {_CHANGE} away, and make what lies here anew."
        raise InputError(Problem(str(folder), what, remedy)) from None
    return waiting


def _clear_left(folder: Path) -> None:
    """Clear away what programs that are gone left beside their targets."""
    for left in folder.glob(f".*{_PART}"):
        if _is_left(left):
            # A folder that can only be read keeps them; they are in nobody's way.
            with suppress(OSError):
                left.unlink()


def _is_left(part: Path) -> bool:
    """Whether a file that waited to be renamed is of a program that is gone."""
    found = re.fullmatch(rf"\..+\.([0-9]{{1,9}}){re.escape(_PART)}", part.name)
    if found is None or sys.platform == "win32":
        # Windows ends a program that is asked so whether it lives.
        return False
    try:
        os.kill(int(found[1]), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False


def _sync_folder(folder: Path) -> None:
    """Have the names in a folder on the disk; Windows has no such call, and keeps them by itself."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        # Some file systems of networks know no such thing.
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(handle)


def final_place(path: Path) -> Path:
    """Return where what is written to a path has to go: a link's target, so that the link itself stays.

    Raises
    ------
    InputError
        The link leads in a circle, or into a folder that is not there.
    """
    if not path.is_symlink():
        return path
    try:
        target = path.resolve()
    except (OSError, RuntimeError):
        raise InputError(Problem(str(path), "This link leads in a circle.", "Name a file.")) from None
    if target.is_symlink():
        raise InputError(Problem(str(path), "This link leads in a circle.", "Name a file."))
    if not target.parent.is_dir():
        what = f"This link leads to {target}, and there is no such folder."
        raise InputError(Problem(str(path), what, "Make the folder, or name a file."))
    return target


def unwritten(error: OSError, folder: Path) -> InputError:
    """Return in words why something could not be written into a folder."""
    return InputError(_problem(error, folder))


def _make_folder(folder: Path, made: list[Path]) -> None:
    """Make `folder` and what is missing above it; note what was made, innermost last."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    for place in reversed(missing):
        place.mkdir()
        made.append(place)
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, "not a folder", str(folder))


def _refuse_other(target: Path) -> None:
    """Refuse what is no file that could be replaced: a folder, a device, a pipe."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, "is a folder", str(target))
    if target.exists() and not target.is_file():
        raise InputError(
            Problem(
                str(target), "Cannot write: a device or pipe of that name stands there.", "Choose a file."
            )
        )


def _beside(target: Path) -> Path:
    """A name in the same folder that no other run uses."""
    return target.with_name(f".{target.name}.{os.getpid()}{_PART}")


def _write_through(path: Path, content: bytes) -> None:
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def _clear(waiting: Mapping[Path, Path], made: list[Path]) -> None:
    """Remove what this run began; files already renamed into a folder made here go with it."""
    for target, beside in waiting.items():
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        if made and made[0] in target.parents:
            with suppress(OSError):
                target.unlink(missing_ok=True)
    for folder in reversed(made):
        with suppress(OSError):
            folder.rmdir()


def _problem(error: OSError, folder: Path) -> Problem:
    what, remedy = _REASONS.get(
        error.errno or 0, (f"writing failed ({error.strerror or error}).", "Choose another folder.")
    )
    named = str(error.filename or folder)
    where = str(folder) if named.endswith(".part") else named
    return Problem(where, f"Cannot write: {what}", remedy)
