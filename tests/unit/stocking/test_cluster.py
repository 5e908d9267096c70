import gc
import socket
import threading
import warnings
from contextlib import suppress

import pytest

distributed = pytest.importorskip("distributed")

from foamwright.errors import FaultError, InputError  # noqa: E402
from foamwright.stocking.chunks import Store  # noqa: E402
from foamwright.stocking.cluster import Cluster, require_same_versions  # noqa: E402
from foamwright.stocking.hands import Alone  # noqa: E402
from foamwright.stocking.running import run_study  # noqa: E402
from foamwright.stocking.study import code_form  # noqa: E402
from tests.stocking_cases import refusing, small_study, squared  # noqa: E402

pytestmark = pytest.mark.filterwarnings("ignore")  # what Dask warns of is not ours to mend


def cluster_here(workers):
    """A cluster of this machine; tried twice, as Dask gives its own thread ten seconds and no more."""
    settings = {"threads_per_worker": 1, "processes": True, "dashboard_address": None, "silence_logs": 50}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        with suppress(AssertionError):
            return distributed.LocalCluster(n_workers=workers, **settings)
        gc.collect()
    return distributed.LocalCluster(n_workers=workers, **settings)


@pytest.fixture(scope="module")
def scheduler():
    with cluster_here(2) as cluster:
        yield cluster


def test_every_job_is_done_once(scheduler):
    hands = Cluster(scheduler.scheduler_address)
    assert sorted(hands.each(squared, 3, list(range(9)))) == [(n, 3 + n * n) for n in range(9)]


def test_what_a_job_refuses_is_told(scheduler):
    with pytest.raises(InputError, match=r"job 2: it is wrong\. Give another\."):
        list(Cluster(scheduler.scheduler_address).each(refusing, None, [0, 1, 2, 3]))


def test_lost_workers_change_no_bit(scheduler, tmp_path):
    study = small_study()
    reference = run_study(study, Store.within(tmp_path / "alone", study.key), Alone(), lambda line: None)
    killed = []

    def kill(line: str) -> None:
        pids = list(scheduler.scheduler.workers.values())
        if pids and len(killed) < 4:
            worker = scheduler.workers.get(len(killed) % 2)
            if worker is not None and worker.process is not None and worker.process.pid:
                killed.append(worker.process.pid)
                worker.process.process.kill()

    patched = pytest.MonkeyPatch()
    patched.setattr("foamwright.stocking.progress.SAY_EVERY", 0.0)
    store = Store.within(tmp_path / "spread", study.key)
    found = run_study(study, store, Cluster(scheduler.scheduler_address), kill)
    patched.undo()
    assert killed
    assert found.work.tobytes() == reference.work.tobytes()


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "not an address"])
def test_a_scheduler_that_is_not_there_is_said(address):
    with pytest.raises(InputError, match="no Dask scheduler answers there"):
        list(Cluster(address, patience=1.0).each(squared, 0, [1]))


def test_something_else_at_that_port_is_said():
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(20)

        def chatter() -> None:
            # The test may end, and close both ends, before or while this thread speaks.
            with suppress(OSError):
                link, _ = server.accept()
                with link:
                    link.sendall(b"220 mail ready\r\n" * 40)

        threading.Thread(target=chatter, daemon=True).start()
        address = f"tcp://127.0.0.1:{server.getsockname()[1]}"
        with pytest.raises(InputError, match="no Dask scheduler answers there"):
            list(Cluster(address, patience=2.0).each(squared, 0, [1]))


def test_a_scheduler_without_workers_is_said():
    with (
        cluster_here(0) as empty,
        pytest.raises(InputError, match="the scheduler has no workers"),
    ):
        list(Cluster(empty.scheduler_address, patience=1.0).each(squared, 0, [1]))


def packages(**changes):
    usual = {"python": "3.11.7", "distributed": "1", "msgpack": "1", "cloudpickle": "1", "numpy": "2.1"}
    return {"packages": {**usual, **changes}}


def test_the_same_versions_pass():
    versions = {"client": packages(), "scheduler": packages(), "workers": {"w": packages()}}
    require_same_versions(versions, {"w": code_form()}, "there")


@pytest.mark.parametrize(
    ("versions", "forms", "said"),
    [
        (
            {"scheduler": packages(distributed="2")},
            {"w": code_form()},
            "distributed 2 on the scheduler, 1 here",
        ),
        ({"workers": {"w": packages(numpy="2.0")}}, {"w": code_form()}, "numpy 2.0 on w, 2.1 here"),
        ({}, {"w": "other"}, "another foamwright on w"),
    ],
)
def test_other_versions_are_named(versions, forms, said):
    found = {"client": packages(), "scheduler": packages(), "workers": {"w": packages()}, **versions}
    with pytest.raises(InputError, match=said):
        require_same_versions(found, forms, "there")


def test_a_job_that_keeps_losing_workers_is_given_up(monkeypatch):
    from foamwright.stocking import cluster

    class Lost:
        status = "lost"

    class Client:
        status = "running"

        def submit(self, *args, **kwargs):
            return None

    spread = cluster._Spread(Client(), squared, None, [1], "there")
    for _ in range(4):
        spread._think_about(Lost(), 0)
    with pytest.raises(FaultError, match="were lost 5 times"):
        spread._think_about(Lost(), 0)


def test_a_scheduler_that_goes_away_is_said():
    from foamwright.stocking import cluster

    class Client:
        status = "closed"

        def submit(self, *args, **kwargs):
            return None

    class Lost:
        status = "cancelled"

    spread = cluster._Spread(Client(), squared, None, [1], "there")
    with pytest.raises(InputError, match="went away in the middle"):
        spread._think_about(Lost(), 0)
