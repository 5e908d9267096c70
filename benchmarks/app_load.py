"""Tablets that save, read notes and ask for advice every four seconds, beside the smallest server there is.

``python benchmarks/app_load.py [TABLETS] [SECONDS]`` runs three servers one after the other, each with the
same tablets at the same pace: uvicorn with one insert (synced like ours), the app without advice, the app
with advice. It prints how long the tablets waited and the processor time of a tablet's cycle; that no reading
is lost and none is double is asserted.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

import httpx
from sqlalchemy import select

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "shop_support"))

from bench_support import add_planned_job
from running import Running

from benchmarks.app_tablets import Tablet, cpu_seconds, planned_thickness
from foamwright.shop.opening import open_database
from foamwright.shop.tables import ReadingRow

EVERY_SECONDS = 4.0
WARM_CYCLES = 1
"""Cycles of every tablet before the clocks count: the first advice at a job builds what later ones use."""


@dataclass
class Load:
    """What came of one server's tablets; waits in seconds, processor time a cycle."""

    waits: list[float] = field(default_factory=list)
    cycles: int = 0
    errors: int = 0
    processor: float = 0.0

    def line(self, name: str) -> str:
        """One row of a table, milliseconds."""
        waits = sorted(1000.0 * wait for wait in self.waits)
        p50, p95, p99 = (waits[min(int(len(waits) * share), len(waits) - 1)] for share in (0.5, 0.95, 0.99))
        return (
            f"| {name} | {len(waits)} | {self.errors} | {p50:.0f} | {p95:.0f} | {p99:.0f} "
            f"| {waits[-1]:.0f} | {self.cycle:.1f} |"
        )

    @property
    def cycle(self) -> float:
        """Processor time of one cycle, milliseconds."""
        return 1000.0 * self.processor / max(self.cycles, 1)


async def sent(client: httpx.AsyncClient, request: httpx.Request) -> httpx.Response:
    """Send, and once more where the server had just let an idle connection go, as every browser does."""
    try:
        return await client.send(request)
    except httpx.RemoteProtocolError:
        return await client.send(request)


async def work(tablet: Tablet, client: httpx.AsyncClient, paths: list[str], cycles: int, load: Load) -> None:
    """Save a reading and look at the other pages, each tablet at its own moment, so many times.

    Each keeps its connection from cycle to cycle, as a browser does.
    """
    # Tablets wake one after the other, not 200 in the same instant from one address.
    await asyncio.sleep(0.02 * tablet.number)
    token = (await client.get("/api/me")).json()["csrf"]
    begun = time.perf_counter() + EVERY_SECONDS * (tablet.number % 50) / 50.0
    for cycle in range(cycles):
        await asyncio.sleep(max(begun + cycle * EVERY_SECONDS - time.perf_counter(), 0.0))
        reading = tablet.reading(len(tablet.waits) + 1)
        asked = time.perf_counter()
        save = client.build_request(
            "POST",
            f"/api/jobs/{tablet.job}/readings",
            json={"readings": [reading]},
            headers={"x-foamwright-csrf": token},
        )
        answers = [await sent(client, save)]
        tablet.waits.append(time.perf_counter() - asked)
        load.waits.append(tablet.waits[-1])
        for path in paths:
            asked = time.perf_counter()
            answers.append(await sent(client, client.build_request("GET", path.format(job=tablet.job))))
            load.waits.append(time.perf_counter() - asked)
        load.cycles += 1
        load.errors += sum(answer.status_code != 200 for answer in answers)


def measure(host: str, program: int, tablets: list[Tablet], paths: list[str], seconds: float) -> Load:
    """Run the tablets against one server, after cycles that do not count."""

    async def everybody() -> Load:
        async with contextlib.AsyncExitStack() as stack:
            # One client a tablet: shared, they would share cookies and wait for each other's connections.
            clients = [
                await stack.enter_async_context(
                    httpx.AsyncClient(base_url=host, timeout=60, trust_env=False, verify=False)
                )
                for _ in tablets
            ]
            pairs = list(zip(tablets, clients, strict=True))
            await asyncio.gather(*(work(*pair, paths, WARM_CYCLES, Load()) for pair in pairs))
            load, before = Load(), cpu_seconds(program)
            cycles = max(1, round(seconds / EVERY_SECONDS))
            await asyncio.gather(*(work(*pair, paths, cycles, load) for pair in pairs))
            load.processor = cpu_seconds(program) - before
            return load

    return asyncio.run(everybody())


def app_load(folder: Path, count: int, seconds: float, paths: list[str]) -> Load:
    """Measure the app; raises if a reading is lost or double."""
    url = f"sqlite:///{folder / 'shop.sqlite'}"
    folder.mkdir()
    shop = open_database(url)
    thickness = planned_thickness()
    tablets = [Tablet(n, add_planned_job(shop, f"Board {n}"), thickness) for n in range(count)]
    with Running(folder, "--port", "0", "--database", url) as app:
        load = measure(app.host, app.program.pid, tablets, paths, seconds)
    sent = {str(one.reading(n)["client_id"]) for one in tablets for n in range(1, len(one.waits) + 1)}
    with shop.reading() as session:
        stored = list(session.scalars(select(ReadingRow.client_id)))
    shop.close()
    assert sorted(stored) == sorted(sent), (
        f"{len(sent - set(stored))} lost, {len(stored) - len(set(stored))} double"
    )
    return load


def smallest_load(folder: Path, count: int, seconds: float) -> Load:
    """Measure uvicorn with one insert, as a program of its own, asked as often as the app with advice."""
    folder.mkdir()
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    command = [sys.executable, __file__, "--smallest", str(port), str(folder / "one.sqlite")]
    program = subprocess.Popen(command)
    try:
        for _ in range(200):
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        tablets = [Tablet(n, n + 1, 0.06) for n in range(count)]
        return measure(f"http://127.0.0.1:{port}", program.pid, tablets, ["/notes", "/advice"], seconds)
    finally:
        program.terminate()
        program.wait(20)


def serve_smallest(port: int, path: str) -> None:
    """Serve: a POST is one insert, synced; a GET is a short answer."""
    import uvicorn

    store = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    for words in ("PRAGMA journal_mode=WAL", "PRAGMA synchronous=FULL", "CREATE TABLE readings (body BLOB)"):
        store.execute(words)

    async def app(scope, receive, send):
        if scope["type"] != "http":
            return
        if scope["method"] == "POST":
            message = await receive()
            store.execute("INSERT INTO readings VALUES (?)", (message["body"],))
        head = [(b"content-type", b"application/json")]
        await send({"type": "http.response.start", "status": 200, "headers": head})
        await send({"type": "http.response.body", "body": b'{"csrf": "none"}'})

    uvicorn.run(app, host="127.0.0.1", port=port, log_level="warning", lifespan="off")


def main() -> None:
    """Measure the three, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tablets", nargs="?", type=int, default=50)
    parser.add_argument("seconds", nargs="?", type=float, default=60.0)
    parser.add_argument("--smallest", nargs=2, help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.smallest:
        serve_smallest(int(args.smallest[0]), args.smallest[1])
        return
    busy = os.getloadavg()[0]
    notes, advice = "/api/jobs/{job}/notes", "/jobs/{job}/bench/advice"
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        loads = {
            "smallest server": smallest_load(folder / "smallest", args.tablets, args.seconds),
            "app, readings and notes": app_load(folder / "plain", args.tablets, args.seconds, [notes]),
            "app, with advice": app_load(folder / "advice", args.tablets, args.seconds, [notes, advice]),
        }
    print(f"{args.tablets} tablets, {args.seconds:g} s each; machine's load before: {busy:.1f}\n")
    print("| server | requests | errors | p50 ms | p95 ms | p99 ms | longest ms | processor ms a cycle |")
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |")
    for name, load in loads.items():
        print(load.line(name))
    least = loads["smallest server"].cycle
    for name in ("app, readings and notes", "app, with advice"):
        print(f"{name}: {loads[name].cycle / least:.1f} times the smallest server's processor time")


if __name__ == "__main__":
    main()
