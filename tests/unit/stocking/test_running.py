import os
import signal

import numpy as np
import pytest

from foamwright.errors import InputError
from foamwright.stocking.chunks import Store
from foamwright.stocking.crew import Crew
from foamwright.stocking.hands import Alone
from foamwright.stocking.running import run_study
from tests.stocking_cases import small_study


class Counting(Alone):
    """Counts the jobs it does of each task; may stop after some."""

    def __init__(self, stop_after: int | None = None) -> None:
        self.laid, self.stop_after = 0, stop_after

    def each(self, task, shared, jobs):
        for place, result in super().each(task, shared, jobs):
            if task.__name__ == "lay_task":
                if self.laid == self.stop_after:
                    raise KeyboardInterrupt
                self.laid += 1
            yield place, result


@pytest.fixture(scope="module")
def study():
    return small_study()


@pytest.fixture(scope="module")
def reference(study, tmp_path_factory):
    return run_study(study, Store.within(tmp_path_factory.mktemp("reference"), study.key), Alone(), _quiet)


def _quiet(line: str) -> None:
    pass


def same(a, b) -> bool:
    return all(
        getattr(a, name).tobytes() == getattr(b, name).tobytes()
        for name in ("work", "board_foam", "blank_foam", "to_order")
    )


def test_a_crew_gives_the_same_bits(study, reference, tmp_path):
    assert same(run_study(study, Store.within(tmp_path, study.key), Crew(2), _quiet), reference)


def test_killed_processes_change_no_bit(study, reference, tmp_path):
    crew, killed = Crew(2), []

    def kill(line: str) -> None:
        if crew.process_ids and len(killed) < 4:
            killed.append(crew.process_ids[len(killed) % len(crew.process_ids)])
            os.kill(killed[-1], signal.SIGKILL)

    store = Store.within(tmp_path, study.key)
    progress = pytest.MonkeyPatch()
    progress.setattr("foamwright.stocking.progress.SAY_EVERY", 0.0)
    with progress.context():
        found = run_study(study, store, crew, kill)
    progress.undo()
    assert len(killed) >= 2
    assert same(found, reference)


def test_a_stopped_study_goes_on_where_it_was(study, reference, tmp_path):
    store = Store.within(tmp_path, study.key)
    first, second = Counting(stop_after=1), Counting()
    with pytest.raises(KeyboardInterrupt):
        run_study(study, store, first, _quiet)
    said = []
    found = run_study(study, store, second, said.append)
    assert (first.laid, second.laid) == (1, len(study.spans) - 1)
    assert any("1 of 3 parts are kept" in line for line in said)
    assert same(found, reference)


def test_a_damaged_chunk_is_done_again_and_said(study, reference, tmp_path):
    store = Store.within(tmp_path, study.key)
    run_study(study, store, Alone(), _quiet)
    path = store.path(study.spans[1])
    content = bytearray(path.read_bytes())
    content[-100] ^= 255
    path.write_bytes(bytes(content))
    said, again = [], Counting()
    found = run_study(study, store, again, said.append)
    assert again.laid == 1
    assert any("damaged" in line and study.spans[1].name in line for line in said)
    assert same(found, reference)


def test_a_finished_study_lays_nothing(study, reference, tmp_path):
    store = Store.within(tmp_path, study.key)
    run_study(study, store, Alone(), _quiet)
    again = Counting()
    assert same(run_study(study, store, again, _quiet), reference)
    assert again.laid == 0


def test_a_place_that_cannot_be_written_to_is_said(study, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="a file stands where a folder is needed"):
        run_study(study, Store.within(tmp_path / "file", study.key), Alone(), _quiet)


def test_waste_is_blank_less_board(reference):
    fits = np.isfinite(reference.work)
    waste = reference.blank_foam[None, :] - reference.board_foam[:, None]
    assert fits.any()
    assert np.all(waste[fits] > 0.0)
