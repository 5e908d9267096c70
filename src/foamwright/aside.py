"""A second process that works while the first does: for a command whose parts need nothing of each other.

Half the time of a whole ``foamwright plan`` goes into loading libraries, fairing the stock's blanks and
drawing pages. Where no second process can be had, or it is lost, the same functions run here: what they
give is the same, bit for bit.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib import import_module
from queue import SimpleQueue
from threading import Thread
from typing import IO, Any, TypeVar

T = TypeVar("T")

SIZE = 8
"""Bytes that tell how many follow."""

LOST = (OSError, ValueError, EOFError, pickle.UnpicklingError)
"""What reading from, or writing to, a process that is gone raises."""


class Helper:
    """A process that calls functions: asked on its `asking`, it answers, in order, on its `answering`."""

    def __init__(self, asking: IO[bytes], answering: IO[bytes]) -> None:
        self.asking, self.answering = asking, answering
        self._begun = 0
        self._answers: list[Any] = []

    def begin(self, make: Callable[[], object]) -> int:
        """Have a function called there, a picklable one; return the number of its answer."""
        _write(self.asking, pickle.dumps(make))
        self._begun += 1
        return self._begun - 1

    def take(self, number: int) -> Any:
        """Wait for an answer: what the function gave in a tuple, or ``None`` where it raised."""
        while len(self._answers) <= number:
            self._answers.append(pickle.loads(_read(self.answering)))
        return self._answers[number]


def _write(pipe: IO[bytes], content: bytes) -> None:
    pipe.write(len(content).to_bytes(SIZE, "big") + content)
    pipe.flush()


def _read(pipe: IO[bytes]) -> bytes:
    size = int.from_bytes(_exactly(pipe, SIZE), "big")
    return _exactly(pipe, size)


def _exactly(pipe: IO[bytes], size: int) -> bytes:
    content = pipe.read(size)
    if len(content) < size:
        raise EOFError
    return content


@contextmanager
def second_process(libraries: Sequence[str] = ()) -> Iterator[Helper | None]:
    """Give a process that is loading libraries meanwhile; ``None`` where there can be none.

    Parameters
    ----------
    libraries
        Names of modules that what it will be asked needs.
    """
    # -P: nothing in the folder where the person works takes the place of a library.
    words = [sys.executable, "-P", "-m", "foamwright.aside", *libraries]
    try:
        process = subprocess.Popen(
            words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
    except OSError:
        yield None
        return
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        yield Helper(process.stdin, process.stdout)
    finally:
        process.kill()
        with suppress(OSError):
            process.communicate()


def begun(make: Callable[[], T], helper: Helper | None) -> Callable[[], T]:
    """Have the helper call a function, and return what waits for its answer.

    Without a helper, or where it is lost or the function raises there, it is called here when waited for.
    """
    if helper is None:
        return make
    try:
        number = helper.begin(make)
    except LOST:
        return make
    return lambda: _taken(make, helper, number)


def _taken(make: Callable[[], T], helper: Helper, number: int) -> T:
    try:
        answer = helper.take(number)
    except LOST:
        answer = None
    if answer is None:
        return make()
    given: T = answer[0]
    return given


def serve(asked: IO[bytes], answers: IO[bytes], libraries: Sequence[str]) -> None:
    """Call what is asked for until nobody asks any more; while nothing is asked, load libraries.

    Answers that are not yet fetched hold nothing up.
    """
    inbox: SimpleQueue[bytes | None] = SimpleQueue()
    outbox: SimpleQueue[bytes | None] = SimpleQueue()
    Thread(target=_receive, args=(inbox, asked), daemon=True).start()
    writer = Thread(target=_send, args=(outbox, answers))
    writer.start()
    loading = iter(libraries)
    while (content := _next(inbox, loading)) is not None:
        outbox.put(_answer(pickle.loads(content)))
    outbox.put(None)
    writer.join()


def _next(inbox: SimpleQueue[bytes | None], loading: Iterator[str]) -> bytes | None:
    while inbox.empty() and (name := next(loading, None)) is not None:
        import_module(name)
    return inbox.get()


def _receive(inbox: SimpleQueue[bytes | None], asked: IO[bytes]) -> None:
    with suppress(*LOST):
        while True:
            inbox.put(_read(asked))
    inbox.put(None)


def _answer(make: Callable[[], object]) -> bytes:
    try:
        return pickle.dumps((make(),))
    except Exception:
        # Whoever asked calls it again, and it raises there, where it can be told.
        return pickle.dumps(None)


def _send(outbox: SimpleQueue[bytes | None], answers: IO[bytes]) -> None:
    while (content := outbox.get()) is not None:
        with suppress(OSError):
            _write(answers, content)


if __name__ == "__main__":
    # A person's Ctrl-C stops the first process, which then ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.disable()
    own = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    serve(sys.stdin.buffer, own, sys.argv[1:])
