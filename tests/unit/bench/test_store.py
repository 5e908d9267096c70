"""A job in its folder: the plan read back, the history, undoing, and what is wrong with either."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from foamwright.bench.belief import Made
from foamwright.bench.entries import Noted, Stroked, Timed, Undone, counting
from foamwright.bench.plan_file import plan_from
from foamwright.bench.store import FolderStore
from foamwright.cuts.runs import End
from foamwright.errors import InputError
from foamwright.stages.solids import StageName
from tests.bench_jobs import bench_job, job_folder, job_plan, plan_bytes
from tests.plans import demo_plan


def test_the_plan_reads_back() -> None:
    plan, made = job_plan(), demo_plan()
    assert plan.length == made.board.length
    assert [run.stage.value for run in plan.runs] == ["rocker", "rocker", "foil", "foil"]
    assert [len(run.run.strokes) for run in plan.runs] == [len(run.strokes) for run in made.runs]


@pytest.mark.parametrize("keep", [0.0, 0.3, 0.999])
def test_a_plan_cut_short_is_told(keep: float) -> None:
    text = plan_bytes()
    with pytest.raises(InputError, match="cut short or damaged"):
        plan_from(text[: int(keep * len(text.rstrip()))], "plan.json")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (b'"runs"', b'"ruins"', "'runs' is missing"),
        (b"foamwright plan 2", b"foamwright plan 9", "no plan of this form"),
        (b'"rocker"', b'"rokcer"', "cannot stand"),
    ],
)
def test_a_plan_edited_by_hand_is_told(old: bytes, new: bytes, told: str) -> None:
    with pytest.raises(InputError, match=told):
        plan_from(plan_bytes().replace(old, new), "plan.json")


SPOILT = {
    "a length that is infinite": lambda plan: plan.update(length_m=float("inf")),
    "a length too large for a number": lambda plan: plan.update(length_m=10**400),
    "no length": lambda plan: plan.update(length_m=0),
    "stations that do not rise": lambda plan: plan["stages"][0]["x_m"].reverse(),
    "a station twice": lambda plan: plan["stages"][0]["x_m"].__setitem__(5, plan["stages"][0]["x_m"][4]),
    "a height that is no number": lambda plan: plan["stages"][2]["deck_m"].__setitem__(7, float("nan")),
    "a height that is out of this world": lambda plan: plan["stages"][2]["deck_m"].__setitem__(7, 1e308),
    "a height too few": lambda plan: plan["stages"][1]["bottom_m"].pop(),
    "a chip of nothing": lambda plan: plan["runs"][0]["tool"].update(chips_m=[0.0]),
    "no chip": lambda plan: plan["runs"][0]["tool"].update(chips_m=[]),
    "a sole in words": lambda plan: plan["runs"][0]["tool"].update(sole_m="nan"),
    "a run of no stage": lambda plan: plan["runs"][1].update(stage="take_off_m"),
    "a count that is infinite": lambda plan: plan["runs"][0]["stops"][0].update(after_strokes=float("inf")),
    "a grid of nothing": lambda plan: plan["runs"][0].update(x_m=[0.0] * len(plan["runs"][0]["x_m"])),
}


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT)
def test_numbers_that_no_job_has_are_told(spoil: Callable[[dict[str, Any]], None]) -> None:
    document = json.loads(plan_bytes())
    spoil(document)
    with pytest.raises(InputError, match=r"plan.json: A value in it cannot stand"):
        plan_from(json.dumps(document), "plan.json")


def test_a_folder_without_a_plan_is_no_job(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="this is no job"):
        FolderStore(tmp_path)


def test_events_come_back_as_they_were_told(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    told = [
        Stroked(StageName.ROCKER, End.NOSE, Made(0.1, None, 0.0008), 3),
        Stroked(StageName.FOIL, End.TAIL, Made(0.3, 0.1, 0.0004), 1),
        Timed(StageName.ROCKER, 12.5),
        Noted("dinged the nose"),
    ]
    job.store.tell(lambda _: told)
    assert [entry.event for entry in job.store.entries()] == told
    assert [entry.number for entry in job.store.entries()] == [1, 2, 3, 4]


def test_undoing_adds_and_an_undoing_can_be_undone(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    job.store.tell(lambda _: [Noted("one"), Noted("two"), Undone(1)])
    assert [e.number for e in counting(job.store.entries())] == [2]
    job.store.tell(lambda _: [Undone(3)])
    assert [e.number for e in counting(job.store.entries())] == [1, 2]
    assert len(job.store.entries()) == 4


def test_a_line_taken_out_by_hand_is_told(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    job.store.tell(lambda _: [Noted("one"), Noted("two"), Noted("three")])
    path = tmp_path / "history.jsonl"
    lines = path.read_text().splitlines(keepends=True)
    path.write_text(lines[0] + lines[2])
    with pytest.raises(InputError, match=r"line 2.*taken out or moved"):
        job.store.entries()


def test_a_line_that_is_no_entry_is_told(tmp_path: Path) -> None:
    folder = job_folder(tmp_path)
    (folder / "history.jsonl").write_text('{"n": 1, "at": "", "kind": "reading", "stage": "rocker"}\n')
    with pytest.raises(InputError, match=r"line 1.*no entry"):
        FolderStore(folder).entries()


TELLER = """
import sys
import os
import subprocess
import sys
from pathlib import Path
from foamwright.bench.entries import Noted
from foamwright.bench.store import FolderStore
store = FolderStore(Path(sys.argv[1]))
for k in range(int(sys.argv[2])):
    store.tell(lambda before: [Noted(str(len(before)))])
"""


def test_two_terminals_at_one_job_see_each_others_entries(tmp_path: Path) -> None:
    """Each entry says how many were there when it was worked out: nobody came between."""
    folder = job_folder(tmp_path)
    calm = {**os.environ, "FOAMWRIGHT_INTERPRETED": "1"}
    tellers = [
        subprocess.Popen([sys.executable, "-c", TELLER, str(folder), "60"], env=calm) for _ in range(2)
    ]
    assert [teller.wait(120) for teller in tellers] == [0, 0]
    entries = FolderStore(folder).entries()
    assert [entry.event for entry in entries] == [Noted(str(k)) for k in range(120)]
