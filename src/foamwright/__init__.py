"""Plans and checks the shaping of a foam board core by hand.

From Python the package offers what its commands do (`foamwright.api`), loaded when it is first used:

>>> import foamwright
>>> foamwright.check("groyne.board.toml")
<Checked 'Groyne' 36.0 l, 0 warnings>
"""

from __future__ import annotations

TYPE_CHECKING = False  # as typing has it, without the time to load typing

if TYPE_CHECKING:
    from foamwright.api import (
        advise,
        brief_,
        check,
        export,
        finish_,
        float_,
        measure,
        next_step,
        pick,
        plan,
        read_board,
        rescue,
        write_papers,
    )

__version__ = "0.1.0"

__all__ = [
    "__version__",
    "advise",
    "brief_",
    "check",
    "export",
    "finish_",
    "float_",
    "measure",
    "next_step",
    "pick",
    "plan",
    "read_board",
    "rescue",
    "write_papers",
]


def __getattr__(name: str) -> object:
    """Load the function of `foamwright.api` that is used; the commands do not wait for it."""
    if name in __all__:
        import importlib

        return getattr(importlib.import_module("foamwright.api"), name)
    raise AttributeError(f"module 'foamwright' has no attribute {name!r}")


def __dir__() -> list[str]:
    """List what the package offers, loaded or not."""
    return sorted({*globals(), *__all__})
