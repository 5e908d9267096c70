"""Fifty tablets post a reading every two seconds for a minute: how long each waits, what is lost or double.

Every tablet stands at a job of its own with the demo's plan, so that each reading is judged by plan and bay.
``python benchmarks/app_tablets.py [TABLETS] [SECONDS] [--database URL]`` starts the app on loopback, in a
folder of its own, and prints the figures; that none is lost and none is double is asserted.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

import httpx
from sqlalchemy import func, select

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "shop_support"))

from bench_support import add_planned_job, demo_steps
from running import Running

from foamwright.bench.plan_file import plan_from
from foamwright.shop.opening import open_database
from foamwright.shop.tables import ReadingRow
from foamwright.stages.solids import StageName

EVERY_SECONDS = 2.0
STATION = 1.6


@dataclass
class Tablet:
    """One tablet at one job."""

    number: int
    job: int
    thickness: float
    waits: list[float] = field(default_factory=list)

    def reading(self, n: int) -> dict[str, object]:
        return {
            "client_id": f"tablet-{self.number:03}-{n:012}",
            "sequence": n,
            "stage": "rocker",
            "station": "12 from nose",
            "station_m": STATION,
            "what": "thickness",
            "value_m": self.thickness + 5e-4 - n * 1e-5,
            "written": "2 3/8 in",
            "tool": "caliper",
            "tablet_ms": int(time.time() * 1000),
        }

    async def work(self, host: str, until: float, spread: float) -> None:
        """Post a reading every two seconds, each tablet at its own moment."""
        async with httpx.AsyncClient(base_url=host, timeout=30, trust_env=False, verify=False) as client:
            token = (await client.get("/api/me")).json()["csrf"]
            await asyncio.sleep(spread)
            n, next_at = 0, time.perf_counter()
            while time.perf_counter() < until:
                n += 1
                begun = time.perf_counter()
                answer = await client.post(
                    f"/api/jobs/{self.job}/readings",
                    json={"readings": [self.reading(n)]},
                    headers={"x-foamwright-csrf": token},
                )
                self.waits.append(time.perf_counter() - begun)
                assert answer.json()["stored"] == [self.reading(n)["client_id"]], answer.text
                next_at += EVERY_SECONDS
                await asyncio.sleep(max(next_at - time.perf_counter(), 0.0))


async def _all(tablets: list[Tablet], host: str, seconds: float) -> None:
    until = time.perf_counter() + seconds
    spread = EVERY_SECONDS / len(tablets)
    await asyncio.gather(*(tablet.work(host, until, tablet.number * spread) for tablet in tablets))


def planned_thickness() -> float:
    """Thickness at the station once the rocker is cut, metres."""
    plan = plan_from(demo_steps()[0], "plan")
    faces = plan.stages[StageName.ROCKER]
    return plan.at(faces.deck - faces.bottom, STATION)


def cpu_seconds(pid: int) -> float:
    """Processor time of a program so far: what a busy machine does not change much."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def measure(count: int, seconds: float, folder: Path, url: str) -> dict[str, float]:
    """Return the figures; raises if a reading is lost or double."""
    shop = open_database(url)
    thickness = planned_thickness()
    tablets = [Tablet(n, add_planned_job(shop, f"Board {n}"), thickness) for n in range(count)]
    shop.close()
    with Running(folder, "--port", "0", "--database", url) as app:
        before = cpu_seconds(app.program.pid)
        asyncio.run(_all(tablets, app.host, seconds))
        cpu = cpu_seconds(app.program.pid) - before
    sent = {f"tablet-{t.number:03}-{n:012}" for t in tablets for n in range(1, len(t.waits) + 1)}
    shop = open_database(url)
    with shop.reading() as session:
        stored = list(session.scalars(select(ReadingRow.client_id)))
        assert session.scalar(select(func.count()).select_from(ReadingRow)) == len(stored)
    shop.close()
    assert set(stored) == sent, f"{len(sent - set(stored))} lost"
    assert len(stored) == len(sent), f"{len(stored) - len(sent)} double"
    waits = sorted(wait * 1000 for tablet in tablets for wait in tablet.waits)
    return {
        "readings": len(waits),
        "p50_ms": waits[len(waits) // 2],
        "p95_ms": waits[int(len(waits) * 0.95)],
        "p99_ms": waits[int(len(waits) * 0.99)],
        "longest_ms": waits[-1],
        "cpu_ms": cpu * 1000 / len(waits),
    }


def main() -> None:
    """Measure, and print one line for each figure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tablets", nargs="?", type=int, default=50)
    parser.add_argument("seconds", nargs="?", type=float, default=60.0)
    parser.add_argument("--database")
    args = parser.parse_args()
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "data"
        found = measure(
            args.tablets, args.seconds, folder, args.database or f"sqlite:///{folder / 'shop.sqlite'}"
        )
    print(f"{args.tablets} tablets, {args.seconds:g} s, machine's load before: {load:.1f}")
    for name, value in found.items():
        print(f"{name:12} {value:.1f}")
    print("lost         0\ndouble       0")


if __name__ == "__main__":
    main()
