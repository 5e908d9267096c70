"""Files of lines, one JSON document each, that only ever grow: nothing written is changed or lost.

A line is on the disk when `add_line` returns. Two writers take turns by a lock beside the file. What a
power cut leaves of a last line that was never finished is kept beside the file, not silently dropped.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from foamwright.documents import plain
from foamwright.errors import InputError, Problem

Line = dict[str, object]


def read_lines(path: Path) -> list[Line]:
    """Return every whole line; a last line that was cut short is left out.

    Raises
    ------
    InputError
        The file cannot be read, or a line that is not the last is damaged (edited by hand).
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise _unreadable(path, error) from error
    whole = content[: content.rfind(b"\n") + 1]
    return [_parsed(path, number, text) for number, text in enumerate(whole.splitlines(), 1) if text.strip()]


def add_line(path: Path, line: Mapping[str, object]) -> None:
    """Append one line, on the disk when this returns."""
    with locked(path):
        append_all(path, [line])


def append_all(path: Path, lines: Sequence[Mapping[str, object]]) -> None:
    """Append lines for a caller that holds the lock.

    Raises
    ------
    InputError
        The place cannot be written to (full disk, rights); nothing of the lines is left.
    """
    text = "".join(json.dumps(plain(line), ensure_ascii=False, allow_nan=False) + "\n" for line in lines)
    try:
        _repair(path)
        _write_at_end(path, text.encode())
    except OSError as error:
        raise InputError(
            Problem(
                str(path), f"Cannot write ({error.strerror or error}).", "Free some space or check rights."
            )
        ) from error


def _write_at_end(path: Path, text: bytes) -> None:
    fresh = not path.exists()
    with path.open("ab") as stream:
        before = stream.tell()
        try:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        except OSError:
            os.ftruncate(stream.fileno(), before)
            raise
    if fresh:
        _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Make a new file's name as lasting as its content."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _repair(path: Path) -> None:
    """Move what a cut-short writer left behind the last whole line into a file beside."""
    if not path.exists():
        return
    with path.open("r+b") as stream:
        content = stream.read()
        keep = content.rfind(b"\n") + 1
        if keep == len(content):
            return
        with path.with_name(path.name + ".cut").open("ab") as beside:
            beside.write(content[keep:] + b"\n")
            beside.flush()
            os.fsync(beside.fileno())
        os.ftruncate(stream.fileno(), keep)
        os.fsync(stream.fileno())


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock beside a file; whoever else wants it waits. The system frees it if the process dies."""
    lock = path.with_name(path.name + ".lock")
    try:
        stream = lock.open("ab")
    except OSError as error:
        raise _unreadable(path, error) from error
    with stream:
        take, free = _locks()
        take(stream.fileno())
        try:
            yield
        finally:
            free(stream.fileno())


def _locks() -> tuple[Callable[[int], None], Callable[[int], None]]:
    """Return how this system takes and frees a lock."""
    if os.name == "nt":
        import msvcrt

        return (
            lambda handle: msvcrt.locking(handle, msvcrt.LK_LOCK, 1),  # type: ignore[attr-defined]
            lambda handle: msvcrt.locking(handle, msvcrt.LK_UNLCK, 1),  # type: ignore[attr-defined]
        )
    import fcntl

    return (
        lambda handle: fcntl.flock(handle, fcntl.LOCK_EX),
        lambda handle: fcntl.flock(handle, fcntl.LOCK_UN),
    )


def _parsed(path: Path, number: int, text: bytes) -> Line:
    try:
        line = json.loads(text)
    except (ValueError, UnicodeDecodeError):
        line = None
    if not isinstance(line, dict):
        raise InputError(
            Problem(
                f"{path.name}, line {number}",
                "This line is damaged; lines are only ever added by the program, never edited.",
                f"Restore it, or move it to another file; every other line of {path} is sound by itself.",
            )
        )
    return line


def _unreadable(path: Path, error: OSError) -> InputError:
    return InputError(
        Problem(str(path), f"Cannot read ({error.strerror or error}).", "Check the name and its rights.")
    )
