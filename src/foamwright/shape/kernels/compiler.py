"""The one place that imports the compiler (numba); kernels decorate themselves with ``compiled``.

Compiled code is cached beside the module (or in the user's cache folder), so only the first run
compiles. ``FOAMWRIGHT_INTERPRETED=1`` leaves every kernel as plain Python, which is how the tests
check that compiling changes nothing.
"""

from __future__ import annotations

import os
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

    compiling: Any = numba.njit(cache=True, nogil=True, fastmath=False)
    return cast(F, compiling(function))


def interpreted(function: F) -> F:
    """Return the plain Python behind a compiled kernel."""
    return cast(F, getattr(function, "py_func", function))
