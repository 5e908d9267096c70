"""Answers kept by what was asked: the last so many, each made once however many ask for it at a time."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class Kept(Generic[K, V]):
    """A function whose last answers are kept; what raises is not kept.

    Parameters
    ----------
    make
        Gives the answer.
    most
        How many answers are kept; the one not asked for longest goes first.
    """

    def __init__(self, make: Callable[[K], V], most: int) -> None:
        self._make, self._most = make, most
        self._answers: OrderedDict[K, Future[V]] = OrderedDict()
        self._lock = threading.Lock()

    def __call__(self, asked: K) -> V:
        """Return the answer; who asks while it is being made waits for it."""
        with self._lock:
            kept = self._answers.get(asked)
            mine = kept is None
            if kept is None:
                kept = self._answers[asked] = Future()
                while len(self._answers) > self._most:
                    self._answers.popitem(last=False)
            self._answers.move_to_end(asked)
        return self._made(asked, kept) if mine else kept.result()

    def has(self, asked: K) -> bool:
        """Return whether the answer is there already."""
        with self._lock:
            kept = self._answers.get(asked)
        return kept is not None and kept.done()

    def _made(self, asked: K, kept: Future[V]) -> V:
        try:
            answer = self._make(asked)
        except BaseException as why:
            with self._lock:
                if self._answers.get(asked) is kept:
                    del self._answers[asked]
            kept.set_exception(why)
            raise
        kept.set_result(answer)
        return answer
