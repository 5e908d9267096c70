"""What a second process makes is the same, to the bit, and nothing is lost with the process."""

import os
import re
from functools import partial

import numpy as np
import pytest

from foamwright.aside import begun, second_process
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.picking import read_job
from foamwright.papers.templates import Wording
from foamwright.papers.templates_wanted import TemplatesWanted
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.units import System
from tests.plans import demo_plan


def wanted():
    block = TitleBlock("", job=" ", board="Groyne", blank="Q", date=" ")
    return TemplatesWanted(demo_plan().board, demo_plan().stations, block, Wording(System.INCH, 16), Paper.A4)


def test_the_same_bytes_from_the_second_process_and_after_it_was_lost():
    here = begun(wanted().files, None)()
    with second_process() as helper:
        assert helper is not None
        there = [begun(wanted().files, helper)() for _ in range(2)]
    lost = begun(wanted().files, helper)()
    assert there == [here, here]
    assert lost == here


def test_a_process_lost_in_the_middle_costs_nothing(monkeypatch):
    with second_process() as helper:
        coming = begun(wanted().files, helper)
        helper.answering.close()
        with pytest.raises(ValueError, match="closed"):
            helper.take(0)
        assert coming() == wanted().files()


def test_what_raises_there_raises_here():
    with second_process() as helper:
        coming = begun(partial(int, "no number"), helper)
        after = begun(partial(int, "7"), helper)
        with pytest.raises(ValueError, match="no number"):
            coming()
        assert after() == 7


def test_answers_larger_than_a_pipe_are_kept_until_they_are_fetched_in_any_order():
    with second_process() as helper:
        large = [begun(partial(bytes, size), helper) for size in (3_000_000, 2_000_000)]
        last = begun(os.getpid, helper)
        assert last() != os.getpid()
        assert [len(one()) for one in large] == [3_000_000, 2_000_000]


def test_half_of_a_stocks_blanks_faired_there_are_the_same_blanks():
    sheets = demo_path("groyne.board.toml"), demo_path("harbour.stock.toml"), None
    here = read_job(*sheets)
    with second_process() as helper:
        there = read_job(*sheets, helper)
    assert [blank.id for blank in there.blanks] == [blank.id for blank in here.blanks]
    for one, other in zip(there.blanks, here.blanks, strict=True):
        x = np.linspace(0.0, one.length, 33)
        for name in ("bottom", "thickness", "half_width", "dome"):
            assert (getattr(one, name)(x) == getattr(other, name)(x)).all()


def test_what_is_wrong_with_blanks_is_told_in_the_order_of_the_sheet(tmp_path):
    text = demo_path("harbour.stock.toml").read_text("utf-8")
    # No fair curve that touches its level line once rises so far above its own tip.
    wrong = re.sub(r'"12 from nose" = "[^"]+"', '"12 from nose" = "7 3/4"', text)
    stock = tmp_path / "wrong.stock.toml"
    stock.write_text(wrong, "utf-8")
    sheets = demo_path("groyne.board.toml"), stock, None
    with pytest.raises(InputError) as here:
        read_job(*sheets)
    with second_process() as helper, pytest.raises(InputError) as there:
        read_job(*sheets, helper)
    assert len(here.value.problems) > 10
    assert there.value.problems == here.value.problems


def test_no_second_process_where_the_machine_allows_none(monkeypatch):
    def none(*_, **__):
        raise OSError

    monkeypatch.setattr("subprocess.Popen", none)
    with second_process() as helper:
        assert helper is None
