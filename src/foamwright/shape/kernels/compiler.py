"""The one place that imports the compiler (numba); kernels decorate themselves with ``compiled``.

Compiled code is kept in the user's cache folder under a name made from the text of all kernels. Only the
first run compiles (every run, where no folder can be written to), and a newer foamwright never runs an older
one's kernels: the compiler's own cache looks at the file of a kernel, not at those that it calls.
``FOAMWRIGHT_INTERPRETED=1`` leaves every kernel as plain Python, which is how the tests check that compiling
changes nothing.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import platformdirs

F = TypeVar("F", bound=Callable[..., Any])

INTERPRETED = os.environ.get("FOAMWRIGHT_INTERPRETED", "") == "1"


def compiled(function: F) -> F:
    """Return `function` compiled without the interpreter lock, cached on disk.

    ``fastmath`` stays off: the same input must give the same output, bit for bit.
    """
    if INTERPRETED:
        return function
    import numba

    _keep_by_text(numba)
    _announce_compiling()
    njit: Any = numba.njit
    try:
        return cast(F, njit(cache=_has_room(numba), nogil=True, fastmath=False)(function))
    except RuntimeError as why:
        # A read-only home and package, as in a container: numba has nowhere to keep what it compiles.
        if "cannot cache" not in str(why):
            raise
        return cast(F, njit(nogil=True, fastmath=False)(function))


_kept = False


def _keep_by_text(numba: Any) -> None:
    """Have compiled code kept in a folder of this text of the kernels; where that cannot be, beside them."""
    global _kept
    if _kept:
        return
    _kept = True
    if not numba.config.CACHE_DIR:
        folder = platformdirs.user_cache_path("foamwright", appauthor=False)
        numba.config.CACHE_DIR = str(folder / f"kernels-{_digest()}")


ROOM_BYTES = 64_000_000
"""Room on the disk under which nothing is kept: all kernels together take some 20 MB, and numba takes a disk
that fills while it writes for an error of the command."""


NEWEST = 3
"""Versions whose compiled loops stay: this one and two beside it, as where two environments share a home."""


def cache_folder() -> Path | None:
    """Return the folder that holds this version's compiled loops, or ``None`` where nothing is kept."""
    import numba

    config: Any = numba.config
    folder = Path(config.CACHE_DIR) if config.CACHE_DIR else None
    return folder if folder is not None and folder.is_dir() else None


def prune_caches() -> int:
    """Remove all but the newest folders of compiled loops beside this version's; return how many went.

    Only folders that this module names so are touched. Removing one in use costs its owner a compilation.
    """
    mine = cache_folder()
    if mine is None or not mine.name.startswith("kernels-"):
        return 0
    others = [p for p in mine.parent.glob("kernels-*") if p.is_dir() and p != mine]
    others.sort(key=lambda path: path.stat().st_mtime_ns, reverse=True)
    gone = others[NEWEST - 1 :]
    for folder in gone:
        shutil.rmtree(folder, ignore_errors=True)
    return len(gone)


def _has_room(numba: Any) -> bool:
    """Return whether the disk of the cache folder, or of what is above it, has room."""
    folder = Path(numba.config.CACHE_DIR)
    there = next((place for place in (folder, *folder.parents) if place.exists()), None)
    return there is None or shutil.disk_usage(there).free > ROOM_BYTES


def _digest() -> str:
    """Return a name for what every kernel says."""
    text = hashlib.sha256()
    for path in sorted(Path(__file__).parent.glob("*.py")):
        text.update(path.name.encode())
        text.update(path.read_bytes())
    return text.hexdigest()[:16]


FIRST_RUN = "First run of this step here: compiling its kernels once, up to half a minute ..."

_announced = False


def _announce_compiling() -> None:
    """Say once, on standard error, when a kernel is really compiled: a first run takes longer."""
    global _announced
    if _announced:
        return
    _announced = True
    from numba.core import event

    class Announcer(event.Listener):
        """Speaks at the first compilation that the cache could not serve."""

        spoken = False

        def on_start(self, event: object) -> None:
            """Say that compiling has begun."""
            if not self.spoken and os.environ.get("FOAMWRIGHT_QUIET", "") != "1":
                self.spoken = True
                print(FIRST_RUN, file=sys.stderr)

        def on_end(self, event: object) -> None:
            """Nothing to say."""

    register: Any = event.register
    register("numba:compile", Announcer())


def interpreted(function: F) -> F:
    """Return the plain Python behind a compiled kernel."""
    return cast(F, getattr(function, "py_func", function))
