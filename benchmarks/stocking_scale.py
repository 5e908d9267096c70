"""Which blanks to keep, at scale: time, memory, growth, lost processes, a Dask cluster, the proved choice.

Run: ``python benchmarks/stocking_scale.py [quick]`` from the root of the repository. Whatever is timed is
shown to be right: the same bits from every way of doing it, the known optima, HiGHS on the same problem.
"""

from __future__ import annotations

import hashlib
import os
import resource
import shutil
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.bay.bay import Bay
from foamwright.lay.rack import Rack
from foamwright.stocking.candidates import generated
from foamwright.stocking.choosing import choose, cost_curve
from foamwright.stocking.chunks import Store
from foamwright.stocking.crew import Crew
from foamwright.stocking.demand import expected_boards
from foamwright.stocking.hands import Alone, Hands
from foamwright.stocking.laying import lay_boards, profiles_of
from foamwright.stocking.location import Location
from foamwright.stocking.running import Lays, run_study
from foamwright.stocking.study import Study
from foamwright.stocking.terms import Terms, costs_of, location_of

SEED = 1


@dataclass(frozen=True)
class Size:
    """How much of it is done."""

    boards: int
    candidates: int
    growth: tuple[int, ...]
    spread: int
    killed_in: int
    keeps: tuple[int, ...]


FULL = Size(2000, 500, (16, 32, 64, 128), 256, 96, (5, 10, 15, 20, 25, 30))
QUICK = Size(48, 60, (8, 16, 32), 32, 48, (5, 10))


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def quiet(line: str) -> None:
    """Say nothing."""


def study_of(boards: int, candidates: int) -> Study:
    """Sampled boards and generated candidates."""
    return Study(expected_boards(boards, SEED), generated(candidates), Bay())


def digest(lays: Lays) -> str:
    """Digest of everything that the choice reads."""
    arrays = (lays.work, lays.board_foam, lays.blank_foam, lays.to_order)
    return hashlib.sha256(b"".join(array.tobytes() for array in arrays)).hexdigest()


@contextmanager
def folder() -> Iterator[Path]:
    """A folder that is gone afterwards."""
    place = Path(tempfile.mkdtemp(prefix="foamwright-bench-"))
    try:
        yield place
    finally:
        shutil.rmtree(place)


def done_by(study: Study, hands: Hands, say=quiet) -> Lays:
    """The study done afresh; its chunks are gone afterwards."""
    with folder() as place:
        return run_study(study, Store.within(place, study.key), hands, say)


def cpu_seconds() -> float:
    """User and system time of this process and of those it has waited for."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(used.ru_utime + used.ru_stime for used in both)


class Memory(threading.Thread):
    """Watches the memory of this process and of a crew; shared pages count in each: an upper bound."""

    def __init__(self, crew: Crew) -> None:
        super().__init__(daemon=True)
        self.crew, self.most, self.running = crew, 0, True

    def run(self) -> None:
        while self.running:
            ids = (os.getpid(), *self.crew.process_ids)
            self.most = max(self.most, sum(resident(one) for one in ids))
            time.sleep(0.2)

    def __enter__(self) -> Memory:
        self.start()
        return self

    def __exit__(self, *args: object) -> None:
        self.running = False
        self.join()


def resident(process_id: int) -> int:
    """Resident bytes of a process, 0 if it is gone."""
    try:
        pages = Path(f"/proc/{process_id}/statm").read_text().split()[1]
    except OSError:
        return 0
    return int(pages) * os.sysconf("SC_PAGE_SIZE")


def whole_study(size: Size) -> tuple[list[dict], Study, Lays]:
    """The study of the full size by two processes."""
    crew = Crew(2)
    began, spent = time.perf_counter(), cpu_seconds()
    study = study_of(size.boards, size.candidates)
    with Memory(crew) as memory:
        lays = done_by(study, crew)
    wall, cpu = time.perf_counter() - began, cpu_seconds() - spent
    assert lays.work.shape == (size.boards, size.candidates)
    name = f"{size.boards} boards x {size.candidates} candidates"
    fits = float(np.isfinite(lays.work).mean())
    lines = [
        row(f"{name}: lays tried, all slides at 1/4 in", lays.slides, "lays", "tens of millions"),
        row(f"{name}: pairs that fit", 100.0 * fits, "%"),
        row(f"{name}: time, two processes", wall, "s", "under 240"),
        row(f"{name}: processor time", cpu, "s", "under 480 on two cores"),
        row(f"{name}: memory, all processes", memory.most / 2**20, "MiB", "under 1024"),
    ]
    return lines, study, lays


def growth(size: Size) -> list[dict]:
    """Processor time of one process against boards and against candidates, and the exponents fitted to it.

    A board has as many slides as blanks are longer than it, so of few boards taken as they come some sizes
    would have more lays a pair than others; they are taken evenly from all, sorted by length. Every board's
    own curves are faired once, however many candidates there are: that part does not grow with them.
    """
    blanks = generated(size.candidates)
    most = max(size.growth)
    boards = [one.board for one in expected_boards(most, SEED + 1)]
    boards.sort(key=lambda board: board.length)
    lay_boards(boards[:1], Rack(profiles_of(blanks)), Bay())
    more_boards = [(count, size.candidates) for count in size.growth]
    more_candidates = [(most // 2, size.candidates // part) for part in (4, 2, 1)]
    spent, lays = {}, {}
    for count, candidates in {*more_boards, *more_candidates}:
        rack, some = Rack(profiles_of(blanks[:candidates])), evenly(boards, count)
        begin = time.process_time()
        lays[count, candidates] = lay_boards(some, rack, Bay()).slides
        spent[count, candidates] = time.process_time() - begin

    def power(tried: list[tuple[int, int]]) -> float:
        pairs = [count * candidates for count, candidates in tried]
        return float(np.polyfit(np.log(pairs), np.log([spent[one] for one in tried]), 1)[0])

    fixed, each = np.polynomial.Polynomial.fit(
        [candidates for _, candidates in more_candidates],
        [spent[one] / one[0] for one in more_candidates],
        1,
    ).convert()
    return [
        row(
            "processor time grows as boards x candidates, both varied, to the power",
            power(sorted({*more_boards, *more_candidates})),
            "1",
            "0.95 to 1.05",
        ),
        row(f"as boards, of {size.candidates} candidates, to the power", power(more_boards), "1"),
        row("as candidates (a quarter to all) to the power", power(more_candidates), "1"),
        row("of it a board's own curves, whatever the candidates", 1e3 * fixed, "ms a board"),
        row("each candidate more", 1e6 * each, "us a board"),
        row("one lay with everything around it", 1e6 * sum(spent.values()) / sum(lays.values()), "us"),
    ]


def evenly(boards: list, count: int) -> list:
    """So many of the boards, evenly: the middle one of each of as many parts."""
    part = len(boards) / count
    return [boards[int((k + 0.5) * part)] for k in range(count)]


def killed(size: Size, deaths: int = 4) -> list[dict]:
    """Processes killed at random in the middle: how many, and whether a bit has changed."""
    study = study_of(size.killed_in, size.candidates)
    reference = digest(done_by(study, Alone()))
    crew, dice, lost = Crew(2), np.random.default_rng(SEED), []
    finished = threading.Event()

    def strike() -> None:
        while not finished.wait(float(dice.uniform(0.3, 1.5))) and len(lost) < deaths:
            if crew.process_ids:
                lost.append(int(dice.choice(crew.process_ids)))
                os.kill(lost[-1], signal.SIGKILL)

    thread = threading.Thread(target=strike, daemon=True)
    thread.start()
    found = digest(done_by(study, crew))
    finished.set()
    thread.join()
    assert found == reference, "killed processes have changed the result"
    return [row("processes killed at random, result unchanged to the bit", len(lost), "processes", "4")]


def spread(size: Size) -> list[dict]:
    """The same study by one and by two Dask workers."""
    try:
        from distributed import LocalCluster
    except ImportError:
        return [row("Dask is not installed: left out", 0, "")]
    study = study_of(size.spread, size.candidates)
    reference = digest(done_by(study, Crew(2)))
    seconds, busiest = [], []
    for workers in (1, 2):
        with LocalCluster(
            n_workers=workers, threads_per_worker=1, dashboard_address=None, silence_logs=50
        ) as cluster:
            from foamwright.stocking.cluster import Cluster

            hands = Cluster(cluster.scheduler_address)
            done_by(study_of(workers * 2, size.candidates), hands)
            before, began = worker_seconds(cluster), time.perf_counter()
            assert digest(done_by(study, hands)) == reference
            seconds.append(time.perf_counter() - began)
            after = worker_seconds(cluster)
            busiest.append(max(after[one] - before[one] for one in after))
    return [
        row(f"{size.spread} boards by one Dask worker", seconds[0], "s"),
        row(f"{size.spread} boards by two Dask workers", seconds[1], "s"),
        row("two Dask workers against one, by the clock", seconds[0] / seconds[1], "x", "1.7 or more"),
        row("processor time of the one, over that of the busier of two", busiest[0] / busiest[1], "x"),
    ]


def worker_seconds(cluster) -> dict[str, float]:
    """Processor time of each worker so far; what other work on the machine takes does not count in it."""
    from distributed import Client

    with Client(cluster.scheduler_address, set_as_default=False) as client:
        return client.run(time.process_time)


def choice(size: Size, study: Study, lays: Lays) -> list[dict]:
    """The choice on the lays of the full study: the largest gap proved, and the time."""
    terms = Terms()
    problem = location_of(costs_of(study, lays, terms), terms)
    began = time.perf_counter()
    curve = cost_curve(problem, max(size.keeps))
    chosen = [choose(problem, keep, [curve[keep - 1].kept]) for keep in size.keeps]
    seconds = time.perf_counter() - began
    for one in chosen:
        assert problem.total(one.kept) == one.cost
        assert one.bound <= one.cost
    gap = 100.0 * max(one.gap for one in chosen)
    all_gaps = 100.0 * max(one.gap for one in curve)
    kept = f"{min(size.keeps)} to {max(size.keeps)}"
    return [
        row(
            f"choice of {kept} among {problem.sites} for {problem.clients}: largest gap", gap, "%", "under 1"
        ),
        row(f"the whole curve, 1 to {max(size.keeps)}: largest gap", all_gaps, "%", "under 1"),
        row("curve and choices: time", seconds, "s", "under 300"),
    ]


def against_highs(clients: int = 120, sites: int = 40, keep: int = 6) -> list[dict]:
    """The same choice by a mixed-integer program given whole to HiGHS, as a user would."""
    dice = np.random.default_rng(SEED)
    here, there = dice.random((sites, 2)), dice.random((clients, 2))
    problem = Location(np.hypot(*(here[:, None] - there[None]).transpose(2, 0, 1)), np.zeros(sites))
    began = time.perf_counter()
    theirs = highs(problem, keep)
    middle = time.perf_counter()
    ours = choose(problem, keep)
    end = time.perf_counter()
    assert abs(ours.cost - theirs) <= 1e-6 * theirs, (ours.cost, theirs)
    return [
        row(f"{keep} of {sites} for {clients}: HiGHS on the whole program", 1e3 * (middle - began), "ms"),
        row(f"{keep} of {sites} for {clients}: here, same cost", 1e3 * (end - middle), "ms"),
        row("choice, times faster than HiGHS", (middle - began) / (end - middle), "x"),
    ]


def highs(problem: Location, keep: int) -> float:
    """Cost of the best choice by the textbook program: each client once, only from kept sites."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, eye_array, hstack, kron, vstack

    m, n = problem.cost.shape
    once = hstack([csr_array((n, m)), kron(np.ones((1, m)), eye_array(n))])
    only_kept = hstack([-kron(eye_array(m), np.ones((n, 1))), eye_array(m * n)])
    count = hstack([csr_array(np.ones((1, m))), csr_array((1, m * n))])
    rules = vstack([once, only_kept, count]).tocsr()
    low = np.concatenate([np.ones(n), np.full(m * n, -np.inf), [keep]])
    high = np.concatenate([np.ones(n), np.zeros(m * n), [keep]])
    answer = milp(
        np.concatenate([problem.holding, problem.cost.ravel()]),
        constraints=LinearConstraint(rules, low, high),
        integrality=np.concatenate([np.ones(m), np.zeros(m * n)]),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )
    return float(answer.fun)


def published() -> list[dict]:
    """OR-Library's problems to their known optima."""
    from tests.published.test_location import PUBLISHED, p_median, warehouses

    problem, medians = p_median()
    pmed, cap = choose(problem, medians), choose(warehouses(), None)
    assert pmed.cost == PUBLISHED["pmed1"]["value"]
    assert abs(cap.cost - PUBLISHED["cap71"]["value"]) <= PUBLISHED["cap71"]["tol"]
    return [
        row("OR-Library pmed1", pmed.cost, "", "5819"),
        row("OR-Library cap71", cap.cost, "", "932615.75"),
    ]


def rows(size: Size = FULL) -> list[dict]:
    """Everything."""
    lines, study, lays = whole_study(size)
    return [
        *lines,
        *growth(size),
        *killed(size),
        *spread(size),
        *choice(size, study, lays),
        *against_highs(),
        *published(),
    ]


if __name__ == "__main__":
    for line in rows(QUICK if "quick" in sys.argv[1:] else FULL):
        print(f"{line['name']:<66} {line['value']:>12.6g} {line['unit']:<9} {line['asked']}")
