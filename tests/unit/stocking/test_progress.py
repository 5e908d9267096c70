import pytest

from foamwright.stocking import progress
from foamwright.stocking.progress import Progress, spell


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.4, "0 s"), (59.4, "59 s"), (61, "1 min 1 s"), (3599, "59 min 59 s"), (3660, "1 h 1 min")],
)
def test_times_in_words(seconds, words):
    assert spell(seconds) == words


def test_time_left_is_in_proportion():
    one = Progress("boards", 100, print)
    one.done = 25
    assert one.line(30.0) == "25 of 100 boards, about 1 min 30 s left"


def test_the_end_is_always_said(monkeypatch):
    said = []
    monkeypatch.setattr(progress, "SAY_EVERY", 1e9)
    one = Progress("boards", 3, said.append)
    one.said = one.began
    for _ in range(3):
        one.more(1)
    assert len(said) == 1
    assert said[0].startswith("3 boards done in")
