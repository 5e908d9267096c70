import os
import signal
import time

import pytest

from foamwright.errors import FaultError, InputError
from foamwright.stocking.crew import LOST_TOO_OFTEN, Crew
from foamwright.stocking.hands import Alone
from tests.stocking_cases import deadly, refusing, squared


@pytest.mark.parametrize("hands", [Alone(), Crew(2)])
def test_every_job_is_done_once(hands):
    assert sorted(hands.each(squared, 100, list(range(7)))) == [(n, 100 + n * n) for n in range(7)]


def test_no_jobs_are_done_at_once():
    assert list(Crew(2).each(squared, 0, [])) == []


def test_killed_processes_cost_their_job_only():
    crew, found = Crew(2), {}
    for place, result in crew.each(squared, 0, list(range(12))):
        found[place] = result
        if len(found) <= 4:
            os.kill(crew.process_ids[len(found) % 2], signal.SIGKILL)
    assert found == {n: n * n for n in range(12)}


def test_what_a_job_refuses_is_told():
    with pytest.raises(InputError, match=r"job 2: it is wrong\. Give another\."):
        list(Crew(1).each(refusing, None, [0, 1, 2, 3]))


def test_a_job_that_kills_every_process_is_given_up():
    with pytest.raises(FaultError, match=f"{LOST_TOO_OFTEN} processes died"):
        list(Crew(1).each(deadly, None, [0, 1, 2]))


def test_nobody_is_left_when_the_work_is_stopped():
    crew = Crew(2)
    work = crew.each(squared, 0, list(range(50)))
    next(work)
    ids = crew.process_ids
    work.close()
    for _ in range(100):
        if not any(_alive(one) for one in ids):
            return
        time.sleep(0.05)
    pytest.fail("a process is left")


def _alive(process_id: int) -> bool:
    try:
        os.kill(process_id, 0)
    except ProcessLookupError:
        return False
    return True
