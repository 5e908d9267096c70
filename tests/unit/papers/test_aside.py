"""Templates made in a second process: the same bytes, and no paper lost with the process."""

import pytest

from foamwright.papers.aside import TemplatesWanted, begun, second_process
from foamwright.papers.plan_shapes import template_shapes
from foamwright.papers.templates import Wording
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.units import System
from tests.plans import demo_plan


def wanted():
    block = TitleBlock("", job=" ", board="Groyne", blank="Q", date=" ")
    return TemplatesWanted(template_shapes(demo_plan()), block, Wording(System.INCH, 16), Paper.A4)


def test_the_same_bytes_from_the_second_process_and_after_it_was_lost():
    here = begun(wanted(), None)()
    with second_process() as helper:
        assert helper is not None
        there = [begun(wanted(), helper)() for _ in range(2)]
    lost = begun(wanted(), helper)()
    assert there == [here, here]
    assert lost == here


def test_a_process_lost_in_the_middle_costs_nothing(monkeypatch):
    with second_process() as helper:
        coming = begun(wanted(), helper)
        helper.answering.close()
        with pytest.raises(ValueError, match="closed"):
            helper.take()
        assert coming() == wanted().files()


def test_no_second_process_where_the_machine_allows_none(monkeypatch):
    def none(*_, **__):
        raise OSError

    monkeypatch.setattr("subprocess.Popen", none)
    with second_process() as helper:
        assert helper is None
