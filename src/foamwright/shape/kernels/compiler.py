"""The one place that imports the compiler (numba); kernels decorate themselves with ``compiled``.

Compiled code is cached beside the module (or in the user's cache folder), so only the first run
compiles. ``FOAMWRIGHT_INTERPRETED=1`` leaves every kernel as plain Python, which is how the tests
check that compiling changes nothing.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import Any, TypeVar, cast

F = TypeVar("F", bound=Callable[..., Any])

INTERPRETED = os.environ.get("FOAMWRIGHT_INTERPRETED", "") == "1"


def compiled(function: F) -> F:
    """Return `function` compiled without the interpreter lock, cached on disk.

    ``fastmath`` stays off: the same input must give the same output, bit for bit.
    """
    if INTERPRETED:
        return function
    import numba

    _announce_compiling()
    compiling: Any = numba.njit(cache=True, nogil=True, fastmath=False)
    return cast(F, compiling(function))


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
                print("First run here: compiling the kernels once, about half a minute ...", file=sys.stderr)

        def on_end(self, event: object) -> None:
            """Nothing to say."""

    register: Any = event.register
    register("numba:compile", Announcer())


def interpreted(function: F) -> F:
    """Return the plain Python behind a compiled kernel."""
    return cast(F, getattr(function, "py_func", function))
