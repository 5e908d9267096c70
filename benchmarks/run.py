"""``make bench``: every claim of speed and exactness in one place, as docs/performance.md.

Run: ``python benchmarks/run.py [--quick] [--only NAME ...] [--out FILE]`` from the root of the repository.
Each benchmark runs in a process of its own and asserts its answers before it tells a time; if one of them
fails, nothing is written and the exit code is 1. ``--quick`` does less of each and writes only where
``--out`` says.
"""

from __future__ import annotations

import argparse
import importlib
import json
import math
import os
import platform
import re
import subprocess
import sys
import time
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
REPORT = ROOT / "docs" / "performance.md"
MARK = "ROWS "
"""Stands before the lines that a benchmark hands over, so that anything else it prints is left alone."""

PACKAGES = (
    "numpy",
    "scipy",
    "numba",
    "llvmlite",
    "clarabel",
    "distributed",
    "manifold3d",
    "trimesh",
    "cadquery-ocp",
)


@dataclass(frozen=True)
class Bench:
    """One benchmark: a module beside this one whose ``rows()`` gives lines of a table."""

    name: str
    title: str
    counts: tuple[int, int] | None = None
    """How many cases in full and in quick, for those that ask; ``None``: it decides itself."""


@dataclass(frozen=True)
class Printed:
    """A script beside this one that prints its figures itself.

    Attributes
    ----------
    name, title
        The script, and what the page calls it.
    full, quick
        Its arguments.
    at_most
        Words that it prints before a number, and the most that number may be.
    """

    name: str
    title: str
    full: tuple[str, ...] = ()
    quick: tuple[str, ...] = ()
    at_most: tuple[tuple[str, float], ...] = ()


PRINTED = (
    Printed(
        "bench_rescue",
        "Rescued boards",
        ("1000",),
        ("10",),
        (("the most any stands out:", 1e-3), ("at most", 1e-3)),
    ),
    Printed("bench_advice", "Advice after one more reading"),
    Printed("bench_trials", "Apprentice trials", ("1000",), ("20",)),
    Printed(
        "app_tablets", "Tablets posting readings", ("50", "60"), ("5", "4"), (("lost", 0), ("double", 0))
    ),
)

BENCHES = (
    Bench("shape_figures", "Curves and solids", (1000, 20)),
    Bench("volume_others", "One solid's volume, three ways"),
    Bench("lay_speed", "The lay against HiGHS and a mesh boolean", (10_000, 300)),
    Bench("lay_growth", "The lay: growth, and its share of the machine's limit"),
    Bench("stages_nested", "Plans whose stages are nested", (300, 10)),
    Bench("cuts_walks", "Run-offs of random plans, replayed", (1000, 20)),
    Bench("water_speed", "Afloat, against slicing a mesh"),
    Bench("brief_riders", "Boards from riders", (100, 5)),
    Bench("scan_back", "Boards measured back from scans", (20, 3)),
    Bench("stocking_scale", "Which blanks to keep, at scale"),
)
NOT_BENCHES = {"run"}
"""Files here that are no benchmark of their own, or are told by another."""


def benches(only: list[str]) -> list[Bench]:
    """The known ones in order, then any other file here that has rows."""
    known = {bench.name for bench in BENCHES}
    others = [
        Bench(path.stem, path.stem.replace("_", " ").capitalize())
        for path in sorted(Path(__file__).parent.glob("*.py"))
        if path.stem not in known | NOT_BENCHES and "\ndef rows(" in path.read_text()
    ]
    return [bench for bench in (*BENCHES, *others) if not only or bench.name in only]


def rows_of(bench: Bench, quick: bool) -> list[dict]:
    """Run one benchmark here."""
    module = importlib.import_module(f"benchmarks.{bench.name}")
    if bench.counts is not None:
        return module.rows(bench.counts[quick])
    return module.rows(module.QUICK) if quick and hasattr(module, "QUICK") else module.rows()


def run_apart(bench: Bench, quick: bool) -> list[dict] | None:
    """Run one benchmark in its own process; ``None`` if it failed."""
    words = [sys.executable, __file__, "--one", bench.name, *(["--quick"] if quick else [])]
    began = time.perf_counter()
    found = subprocess.run(words, stdout=subprocess.PIPE, text=True, cwd=ROOT, check=False)
    told = [line for line in found.stdout.splitlines() if line.startswith(MARK)]
    say(f"{bench.name}: {'done' if told else 'FAILED'} in {time.perf_counter() - began:.0f} s")
    if found.returncode != 0 or not told:
        return None
    return json.loads(told[-1][len(MARK) :])


def printed_by(script: Printed, quick: bool) -> str | None:
    """Run one script; return what it printed, ``None`` if it failed or a number is too large."""
    words = [
        sys.executable,
        str(ROOT / "benchmarks" / f"{script.name}.py"),
        *(script.quick if quick else script.full),
    ]
    path = os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])])
    began = time.perf_counter()
    found = subprocess.run(
        words,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        check=False,
        env={**os.environ, "PYTHONPATH": path},
    )
    fine = found.returncode == 0 and all(keeps(found.stdout, *limit) for limit in script.at_most)
    say(f"{script.name}: {'done' if fine else 'FAILED'} in {time.perf_counter() - began:.0f} s")
    return found.stdout if fine else None


def keeps(text: str, words: str, most: float) -> bool:
    """Whether the number after some words is there and at most so large."""
    found = re.search(re.escape(words) + r"\s*([-+0-9.e]*[0-9])", text)
    return found is not None and float(found[1]) <= most


def say(line: str) -> None:
    """Say how far it is."""
    print(line, file=sys.stderr, flush=True)


def written(value: float) -> str:
    """A number for a person: whole ones whole, others to four figures."""
    if not math.isfinite(value):
        return "-"
    if value == int(value) and abs(value) < 1e12:
        return f"{int(value):,}"
    return f"{value:,.1f}" if abs(value) >= 1000 else f"{value:.4g}"


def table(lines: list[dict]) -> list[str]:
    """Lines as a table in Markdown."""
    body = [
        f"| {line['name']} | {written(line['value'])} | {line['unit']} | {line['asked']} |" for line in lines
    ]
    return ["| what | value | unit | asked |", "| --- | ---: | --- | --- |", *body]


def machine() -> list[str]:
    """What it ran on."""
    load = os.getloadavg()[0]
    versions = [f"{name} {found}" for name in PACKAGES if (found := version_of(name))]
    return [
        f"- Processor: {processor()}, {os.cpu_count()} cores seen; {memory_gib():.0f} GiB of memory.",
        f"- {platform.system()} {platform.release()}, Python {platform.python_version()}.",
        f"- {', '.join(versions)}.",
        f"- Load average before the first benchmark: {load:.1f} (0 is a quiet machine; wall times of a busy "
        "one are longer than they need be, processor times less so).",
    ]


def version_of(name: str) -> str | None:
    """Version of a package, if it is installed."""
    try:
        return version(name)
    except PackageNotFoundError:
        return None


def processor() -> str:
    """The processor's name."""
    try:
        lines = Path("/proc/cpuinfo").read_text().splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()


def memory_gib() -> float:
    """Memory of the machine."""
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30


def report(
    results: list[tuple[Bench, list[dict]]], printed: list[tuple[Printed, str]], about: list[str]
) -> str:
    """The whole page."""
    lines = [
        "# How fast, how exact",
        "",
        "Written by `make bench`. Every benchmark asserts that its answers are right before it tells a time; "
        "`asked` is the figure the project set itself. Nothing here is typed by hand.",
        "",
        *about,
    ]
    for bench, found in results:
        doc = (importlib.import_module(f"benchmarks.{bench.name}").__doc__ or "").strip().split("\n\n")[0]
        lines += ["", f"## {bench.title}", "", " ".join(doc.split()), "", *table(found)]
    for script, text in printed:
        lines += ["", f"## {script.title}", "", f"As `benchmarks/{script.name}.py` tells it:", ""]
        lines += ["```", *text.rstrip().splitlines(), "```"]
    return "\n".join(lines) + "\n"


def main() -> int:
    """Run what is asked for; 1 if anything failed."""
    parser = argparse.ArgumentParser(description="Every claim of speed in one place.")
    parser.add_argument("--quick", action="store_true", help="less of each; for trying that all still run")
    parser.add_argument("--only", nargs="+", default=[], metavar="NAME", help="only these benchmarks")
    parser.add_argument("--out", type=Path, metavar="FILE", help="where the page goes")
    parser.add_argument("--one", metavar="NAME", help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.one:
        print(MARK + json.dumps(rows_of(next(iter(benches([args.one]))), args.quick)))
        return 0
    about, results, failed = machine(), [], []
    for bench in benches(args.only):
        found = run_apart(bench, args.quick)
        results += [(bench, found)] if found is not None else []
        failed += [] if found is not None else [bench.name]
    printed = []
    for script in PRINTED:
        if args.only and script.name not in args.only:
            continue
        text = printed_by(script, args.quick)
        printed += [(script, text)] if text is not None else []
        failed += [] if text is not None else [script.name]
    page = report(results, printed, about)
    print(page)
    if failed:
        say(f"Failed: {', '.join(failed)}. Nothing was written.")
        return 1
    if args.out or not (args.quick or args.only):
        (args.out or REPORT).write_text(page)
    return 0


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    sys.exit(main())
