"""A crew of processes on this machine; one that is lost costs its job only, which another then does."""

from __future__ import annotations

import multiprocessing
import pickle
import signal
from collections import Counter, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Any

from foamwright.errors import FaultError
from foamwright.stocking.hands import Task, attempted, opened

LOST_TOO_OFTEN = 5
"""A job that so many processes died of is not tried again."""


@dataclass(eq=False)
class _Hand:
    """One process, its pipe, and the place of the job it is at (-1: none)."""

    process: SpawnProcess
    pipe: Connection
    place: int = -1


class Crew:
    """Processes of this machine, started when there is something to do and gone when it is done."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.hands: list[_Hand] = []

    @property
    def process_ids(self) -> tuple[int, ...]:
        """The processes that are at work."""
        return tuple(hand.process.pid or 0 for hand in self.hands)

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job, in the order they are done.

        Raises
        ------
        FaultError
            One job keeps killing the processes that try it.
        """
        common = pickle.dumps((task, shared), protocol=pickle.HIGHEST_PROTOCOL)
        waiting, lost = deque(range(len(jobs))), Counter[int]()
        try:
            self.hands = [_started(common) for _ in range(min(self.size, len(jobs)))]
            done = 0
            while done < len(jobs):
                self._give_out(waiting, jobs)
                for hand in self._heard():
                    answer = _answer(hand)
                    if answer is None:
                        self._replace(hand, common, waiting, lost)
                        continue
                    done += 1
                    yield answer
        finally:
            self._send_home()

    def _give_out(self, waiting: deque[int], jobs: Sequence[object]) -> None:
        for hand in self.hands:
            if hand.place < 0 and waiting:
                hand.place = waiting.popleft()
                _send(hand.pipe, (hand.place, jobs[hand.place]))

    def _heard(self) -> list[_Hand]:
        """Return the hands that have an answer or are gone."""
        pipes = {hand.pipe: hand for hand in self.hands if hand.place >= 0}
        return [pipes[pipe] for pipe in wait(list(pipes)) if isinstance(pipe, Connection)]

    def _replace(self, hand: _Hand, common: bytes, waiting: deque[int], lost: Counter[int]) -> None:
        lost[hand.place] += 1
        if lost[hand.place] >= LOST_TOO_OFTEN:
            raise FaultError(
                f"{LOST_TOO_OFTEN} processes died of the same part of the work: is there enough memory? "
                "What is done is kept; the same command goes on from there."
            )
        waiting.appendleft(hand.place)
        _end(hand)
        self.hands[self.hands.index(hand)] = _started(common)

    def _send_home(self) -> None:
        for hand in self.hands:
            _end(hand)
        self.hands = []


def _started(common: bytes) -> _Hand:
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_work, args=(theirs, common), daemon=True)
    process.start()
    theirs.close()
    return _Hand(process, ours)


def _send(pipe: Connection, message: object) -> None:
    """Send a job; if the process is gone already, that is heard when its answer is waited for."""
    try:
        pipe.send(message)
    except OSError:
        return


def _answer(hand: _Hand) -> tuple[int, Any] | None:
    """Return what a hand has done, or ``None`` if it is gone; what it raised is raised here."""
    try:
        place, result, raised = hand.pipe.recv()
    except (EOFError, OSError, pickle.UnpicklingError):
        return None
    hand.place = -1
    if raised is not None:
        raise raised
    return place, opened(result)


def _end(hand: _Hand) -> None:
    hand.pipe.close()
    hand.process.kill()
    hand.process.join()


def _work(pipe: Connection, common: bytes) -> None:
    """Do jobs until the pipe closes, which it does when the process at its other end is gone too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    task, shared = pickle.loads(common)
    try:
        while True:
            place, job = pipe.recv()
            pipe.send(_done(task, shared, place, job))
    except (EOFError, OSError):
        return


def _done(task: Task, shared: object, place: int, job: object) -> tuple[int, Any, Exception | None]:
    try:
        return place, attempted(task, shared, job), None
    except Exception as error:
        return place, None, error
