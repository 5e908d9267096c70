"""Writing files so that there is never half a file: beside the target first, then renamed onto it."""

from __future__ import annotations

import errno
import os
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

    Every file is first written in full beside its target; only when all are safe on the disk are they
    renamed, which needs no more space.

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
    made: list[Path] = []
    waiting: dict[Path, Path] = {}
    try:
        for name, content in contents.items():
            target = final_place(folder / name)
            _make_folder(target.parent, made)
            _refuse_other(target)
            waiting[target] = _beside(target)
            _write_through(waiting[target], content)
        for target, beside in waiting.items():
            beside.replace(target)
    except OSError as error:
        _clear(waiting, made)
        raise unwritten(error, folder) from error
    except BaseException:
        _clear(waiting, made)
        raise


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
    return target.with_name(f".{target.name}.{os.getpid()}.part")


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
