"""The power goes at any moment: every reading that was acknowledged is in the job's history afterwards.

The writes, truncations and fsyncs that the history makes are recorded, and every prefix of them is replayed
onto a disk that keeps what was fsynced and loses the rest: all of it, or all but a first part of the last
write (a disk writes in the order it likes, but a file that only grows is cut short, or ends in zeros).
"""

from __future__ import annotations

import io
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from foamwright.bench.entries import Noted
from foamwright.bench.store import FolderStore
from tests.bench_jobs import job_folder, plan_bytes

Content = dict[str, bytes]


@dataclass
class Recorder:
    """What was done to the files of one folder, in order, between the system and the program."""

    folder: Path
    steps: list[tuple[str, str, bytes | int]] = field(default_factory=list)
    handles: dict[int, str] = field(default_factory=dict)

    def watch(self, patch: pytest.MonkeyPatch) -> None:
        """Put the recorder below everything that opens, writes, cuts and syncs."""
        real_open, real_path_open = os.open, Path.open
        real_sync, real_cut = os.fsync, os.ftruncate

        def path_open(path: Path, mode: str = "r", *args: Any, **words: Any) -> Any:
            stream = real_path_open(path, mode, *args, **words)
            if path.parent == self.folder and mode in ("ab", "r+b", "wb"):
                self.handles[stream.fileno()] = path.name
                return Watched(stream, self, path.name)
            return stream

        def plain_open(path: Any, *args: Any, **words: Any) -> int:
            handle = real_open(path, *args, **words)
            if Path(path) == self.folder:
                self.handles[handle] = "."
            return handle

        def sync(handle: int) -> None:
            real_sync(handle)
            self.steps.append(("sync", self.handles[handle], 0))

        def cut(handle: int, size: int) -> None:
            real_cut(handle, size)
            self.steps.append(("cut", self.handles[handle], size))

        patch.setattr(Path, "open", path_open)
        patch.setattr(os, "open", plain_open)
        patch.setattr(os, "fsync", sync)
        patch.setattr(os, "ftruncate", cut)

    def acknowledge(self, what: str) -> None:
        """Note that somebody was told that this is stored."""
        self.steps.append(("told", what, 0))


class Watched:
    """A stream whose bytes are noted when they reach the system: at a flush, or when it is closed."""

    def __init__(self, stream: io.BufferedIOBase, recorder: Recorder, name: str) -> None:
        self._stream, self._recorder, self._name, self._held = stream, recorder, name, b""

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, content: bytes) -> int:
        self._held += content
        return self._stream.write(content)

    def flush(self) -> None:
        self._stream.flush()
        if self._held:
            self._recorder.steps.append(("write", self._name, self._held))
            self._held = b""

    def __enter__(self) -> Watched:
        return self

    def __exit__(self, *_: object) -> None:
        self.flush()
        self._stream.close()


@dataclass
class Disk:
    """What the system holds of each file, and what is safe on the disk: contents, and names."""

    held: Content
    safe: Content
    named: set[str]

    def do(self, step: tuple[str, str, bytes | int]) -> None:
        kind, name, what = step
        if kind == "write":
            self.held[name] = self.held.get(name, b"") + bytes(what)
        elif kind == "cut":
            self.held[name] = self.held[name][: int(what)]
        elif kind == "sync" and name == ".":
            self.named |= set(self.held)
        elif kind == "sync":
            self.safe[name] = self.held.get(name, b"")

    def after_the_power_went(self) -> list[Content]:
        """Every state that the disk may be in: what is not fsynced is lost, kept in part, or zeros."""
        states = []
        for lucky in (False, True):
            # A name that was not fsynced may be there or not.
            names = set(self.held) if lucky else self.named
            for part in range(5):
                states.append({name: self._some(name, part) for name in names})
        return states

    def _some(self, name: str, part: int) -> bytes:
        safe, held = self.safe.get(name, b""), self.held.get(name, b"")
        if not held.startswith(safe):
            # It was cut, and that was not fsynced: it may have happened on the disk or not.
            return held if part % 2 else safe
        more = held[len(safe) :]
        if part == 4:
            return safe + bytes(len(more))
        return safe + more[: len(more) * part // 3]


def replayed(recorder: Recorder, begun: Content, place: Path) -> tuple[int, list[str]]:
    """Return how many states were looked at, and what was lost in any of them."""
    disk = Disk(dict(begun), dict(begun), set(begun))
    told: list[str] = []
    lost, looked = [], 0
    for number, step in enumerate([("start", "", 0), *recorder.steps]):
        if step[0] == "told":
            told.append(step[1])
        disk.do(step)
        for state in disk.after_the_power_went():
            looked += 1
            there = _read(place, state)
            if there[: len(told)] != told:
                lost.append(f"step {number} {step[:2]}: told {told}, there {there}")
    return looked, lost


def _read(place: Path, state: Content) -> list[str]:
    """What the history says, and goes on saying after one more entry."""
    for old in place.iterdir():
        old.unlink()
    for name, content in {"plan.json": plan_bytes(), **state}.items():
        (place / name).write_bytes(content)
    store = FolderStore(place, clock=lambda: "2026-01-01T00:00:00+00:00")
    before = [entry.event.text for entry in store.entries()]
    store.tell(lambda _: [Noted("afterwards")])
    after = [entry.event.text for entry in store.entries()]
    assert after == [*before, "afterwards"]
    return before


def recorded(folder: Path, patch: pytest.MonkeyPatch) -> tuple[Recorder, Content]:
    """A history of five readings in a row, the third after a line that an earlier cut left unfinished."""
    job_folder(folder)
    begun = {"plan.json": plan_bytes()}
    recorder = Recorder(folder)
    store = FolderStore(folder, clock=lambda: "2026-01-01T00:00:00+00:00")
    with patch.context() as inner:
        recorder.watch(inner)
        for word in ("one", "two", "three", "four", "five"):
            if word == "three":
                with (folder / "history.jsonl").open("ab") as stream:
                    stream.write(b'{"n": 3, "at')
            store.tell(lambda _, word=word: [Noted(word)])
            recorder.acknowledge(word)
    return recorder, begun


def test_no_acknowledged_reading_is_lost_whenever_the_power_goes(tmp_path: Path, monkeypatch) -> None:
    recorder, begun = recorded(tmp_path / "job", monkeypatch)
    (tmp_path / "after").mkdir()
    looked, lost = replayed(recorder, begun, tmp_path / "after")
    assert lost == []
    kinds = [step[0] for step in recorder.steps]
    assert (kinds.count("told"), kinds.count("cut")) == (5, 1)
    assert looked == 10 * (len(kinds) + 1)


@pytest.mark.parametrize("name", ["history.jsonl", "."])
def test_the_replay_finds_a_sync_that_is_missing(tmp_path: Path, monkeypatch, name: str) -> None:
    """Were a file or its folder not fsynced, the replay would say so."""
    recorder, begun = recorded(tmp_path / "job", monkeypatch)
    recorder.steps = [step for step in recorder.steps if step[:2] != ("sync", name)]
    (tmp_path / "after").mkdir()
    assert replayed(recorder, begun, tmp_path / "after")[1]
