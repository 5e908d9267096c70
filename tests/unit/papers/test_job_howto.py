"""What a step's words speak of."""

from dataclasses import astuple

import pytest

from foamwright.papers.job_howto import HOW, Step, how_to


@pytest.mark.parametrize("step", list(Step))
def test_nothing_of_a_stringer_where_there_is_none(step: Step) -> None:
    words = " ".join(astuple(how_to(step, stringer=False))).lower()
    assert "stringer" not in words
    assert "wood" not in words


def test_with_a_stringer_the_words_stand_as_written() -> None:
    assert all(how_to(step, stringer=True) is HOW[step] for step in Step)
