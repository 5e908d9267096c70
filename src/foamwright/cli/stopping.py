"""Ctrl-C: whenever it comes, the command ends with words and its code, never with a traceback.

While modules load nothing has been begun, and the process ends at once. While a command runs, the stop is an
exception, so that files being written are cleared away. A library that is met while it loads may swallow that
exception, or answer with an error of its own; the first is asked again, the second is known by `asked`.
"""

from __future__ import annotations

import _signal  # type: ignore[import-not-found]
import os
import sys

TYPE_CHECKING = False  # as typing has it, without the time to load typing

# The names above are loaded with Python itself; whatever else is needed is loaded where it is used.
if TYPE_CHECKING:
    from types import FrameType
    from typing import Any

STOPPED = 130
"""Exit code of a command that was stopped, as shells have it."""

_WORDS = b"Stopped. Nothing was left half written.\n"
_state = {"ours": False, "asked": False}


def at_once() -> None:
    """From now on a stop ends the process at once; where Ctrl-C is ignored on purpose it stays ignored."""
    if _signal.getsignal(_signal.SIGINT) is _signal.default_int_handler:
        _state["ours"] = True
        _signal.signal(_signal.SIGINT, _leave)


def by_exception() -> None:
    """From now on a stop is a ``KeyboardInterrupt``, asked again where it gets lost."""
    if _state["ours"]:
        _signal.signal(_signal.SIGINT, _raise)
        sys.unraisablehook = _heard_again


def too_late() -> None:
    """From now on everything is done and told, and a stop changes nothing while Python itself ends."""
    if _state["ours"]:
        _signal.signal(_signal.SIGINT, _signal.SIG_IGN)


def leave(code: int) -> None:
    """End the process if it was stopped; all that was begun is cleared away by then.

    Python takes a stop that came while it compiled a text (every dataclass is made so) for one that nobody
    caught, and at its own end would die of the signal, whatever the exit code.
    """
    if _state["asked"] and code == STOPPED:
        for stream in (sys.stdout, sys.stderr):
            try:
                stream.flush()
            except (OSError, ValueError):
                continue
        os._exit(code)


def asked() -> bool:
    """Tell whether somebody asked to stop."""
    return _state["asked"]


def told() -> int:
    """Say that the command was stopped, and return its exit code; one more stop changes nothing."""
    too_late()
    sys.stderr.write(_WORDS.decode())
    return STOPPED


def _leave(_number: int, _frame: FrameType | None) -> None:
    os.write(2, _WORDS)
    os._exit(STOPPED)


def _raise(_number: int, _frame: FrameType | None) -> None:
    _state["asked"] = True
    raise KeyboardInterrupt


AGAIN_SECONDS = 0.02
"""Until a stop that got lost in a place which cannot raise is asked again."""


def _heard_again(lost: Any) -> None:
    if not issubclass(lost.exc_type, KeyboardInterrupt):
        sys.__unraisablehook__(lost)
        return
    import threading

    timer = threading.Timer(AGAIN_SECONDS, _ask_again)
    timer.daemon = True
    timer.start()


def _ask_again() -> None:
    import _thread
    import threading

    if hasattr(_signal, "pthread_kill"):
        # Only a true signal wakes a thread that waits for the system.
        _signal.pthread_kill(threading.main_thread().ident, _signal.SIGINT)
    else:
        _thread.interrupt_main()
