"""A Dask cluster as hands: workers of any number, anywhere; one that is lost costs its jobs only."""

from __future__ import annotations

import pickle
import zlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from foamwright.errors import FaultError, InputError, Problem
from foamwright.stocking.hands import Task, attempted, opened
from foamwright.stocking.study import code_form

PIECE = 2_000_000
"""Bytes of what all jobs share that travel in one message."""

LOST_TOO_OFTEN = 5
"""A job whose workers were lost so many times is not tried again."""

MUST_MATCH = ("python", "distributed", "msgpack", "cloudpickle", "numpy")
"""Packages whose versions here and on the workers must be the same."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """The cluster of a scheduler, ``tcp://host:port`` or ``host:port``.

    Attributes
    ----------
    address
        Of the scheduler.
    patience
        Seconds to wait for it, and for a first worker.
    """

    address: str
    patience: float = 10.0

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job, in the order they are done.

        Raises
        ------
        InputError
            No scheduler answers there, it goes away, it has no workers, or it runs another version.
        FaultError
            One job keeps losing its workers.
        """
        with self._client() as client:
            require_same_versions(client.get_versions(check=False), client.run(worker_form), self.address)
            with client.as_current():
                yield from _Spread(client, task, shared, jobs, self.address).results()

    @contextmanager
    def _client(self) -> Iterator[Any]:
        """Connect, wait for a worker, and say in words what is in the way."""
        kind = _client_class()
        try:
            client = kind(self.address, timeout=self.patience, set_as_default=False)
        except Exception as why:  # whatever answers at that port may say anything
            raise _not_there(self.address, why) from why
        try:
            _wait_for_worker(client, self)
            yield client
        finally:
            client.close(timeout=2)


def _client_class() -> Any:
    try:
        from distributed import Client
    except ImportError:
        raise InputError(
            Problem(
                "--scheduler",
                "Dask is not installed here.",
                "Install it with `pip install foamwright[cluster]`, or leave --scheduler out.",
            )
        ) from None
    return Client


def _not_there(address: str, why: Exception) -> InputError:
    return InputError(
        Problem(
            f"--scheduler {address}",
            f"no Dask scheduler answers there ({type(why).__name__}).",
            "Start one with `dask scheduler` and workers with `dask worker ADDRESS`, or leave --scheduler "
            "out: then the study runs on this machine and gives the same numbers.",
        )
    )


def _wait_for_worker(client: Any, cluster: Cluster) -> None:
    try:
        client.wait_for_workers(1, timeout=cluster.patience)
    except TimeoutError:
        raise InputError(
            Problem(
                f"--scheduler {cluster.address}",
                f"the scheduler has no workers, and none came within {cluster.patience:g} s.",
                f"Start some with `dask worker {cluster.address}`.",
            )
        ) from None


def worker_form() -> str:
    """Return the digest of the code a worker runs."""
    return code_form()


def require_same_versions(versions: Mapping[str, Any], forms: Mapping[str, str], address: str) -> None:
    """Refuse workers that could give other numbers, naming each difference.

    Raises
    ------
    InputError
        A package that matters, or foamwright itself, is another version there.
    """
    ours = versions["client"]["packages"]
    others = {"the scheduler": versions["scheduler"], **versions["workers"]}
    told = [
        f"{name} {found} on {who}, {ours.get(name)} here"
        for who, there in others.items()
        for name in MUST_MATCH
        if (found := there["packages"].get(name)) != ours.get(name)
    ]
    told += [f"another foamwright on {who}" for who, form in forms.items() if form != code_form()]
    if told:
        raise InputError(
            Problem(
                f"--scheduler {address}",
                f"it runs other versions: {'; '.join(told)}.",
                "Install the same versions there as here; the same numbers are promised only then.",
            )
        )


class _Spread:
    """One list of jobs spread over a cluster."""

    def __init__(self, client: Any, task: Task, shared: object, jobs: Sequence[object], address: str) -> None:
        self.client, self.task, self.jobs, self.address = client, task, jobs, address
        self.lost = Counter[int]()
        self.shared = self._sent(shared)
        self.places: dict[str, int] = {}

    def _sent(self, shared: object) -> Any:
        """Send what all share in pieces, as tasks: a worker that lost it can have it made again."""
        body = zlib.compress(pickle.dumps(shared, protocol=pickle.HIGHEST_PROTOCOL), 1)
        pieces = [
            self.client.submit(bytes, body[n : n + PIECE], pure=False) for n in range(0, len(body), PIECE)
        ]
        return self.client.submit(joined, pieces, pure=False)

    def _submitted(self, place: int) -> Any:
        future = self.client.submit(attempted, self.task, self.shared, self.jobs[place], pure=False)
        self.places[future.key] = place
        return future

    def results(self) -> Iterator[tuple[int, Any]]:
        import distributed

        # The library says nothing of these types.
        in_turn: Any = distributed.as_completed
        running = in_turn([self._submitted(place) for place in range(len(self.jobs))])
        for future in running:
            place = self.places[future.key]
            if future.status == "finished":
                yield place, opened(future.result())
                future.release()
            else:
                self._think_about(future, place)
                running.add(self._submitted(place))

    def _think_about(self, future: Any, place: int) -> None:
        """Raise what the job raised; a job whose worker was lost may be tried again."""
        from distributed import KilledWorker

        self.lost[place] += 1
        if self.client.status not in ("running", "connecting"):
            raise _gone(self.address)
        error = future.exception() if future.status == "error" else None
        if error is not None and not isinstance(error, KilledWorker):
            raise error
        if self.lost[place] >= LOST_TOO_OFTEN:
            raise FaultError(
                f"The workers that tried one part of the work were lost {LOST_TOO_OFTEN} times: have they "
                "enough memory? What is done is kept; the same command goes on from there."
            )


def _gone(address: str) -> InputError:
    return InputError(
        Problem(
            f"--scheduler {address}",
            "the scheduler went away in the middle of the work.",
            "What is done is kept: start it again and give the same command, with or without --scheduler.",
        )
    )


def joined(pieces: Sequence[bytes]) -> object:
    """Return what all jobs share from its pieces."""
    return pickle.loads(zlib.decompress(b"".join(pieces)))
