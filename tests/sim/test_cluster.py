"""Runs on a Dask cluster: the bits of one process, whatever becomes of a worker, and plain words where it cannot be."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from concurrent.futures import CancelledError, Future
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from sim import cluster, pool
from sim.cluster import Cluster, ClusterError, connected
from sim.pool import WorkerLostError
from sim.replications import chunks_of, replicate
from sim.scenario.scenario import Scenario
from sim.versions import versions
from tests.sim.clusters import LocalCluster, local_cluster
from tests.sim.reductions import die, played, refuse_the_seventh
from tests.sim.test_replications import without_processes
from tests.sim.uncertain_pad import uncertain_pad

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return uncertain_pad()


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LocalCluster]:
    """A scheduler and two workers."""
    with local_cluster(tmp_path_factory.mktemp("cluster"), 2) as found:
        yield found


@pytest.fixture
def crew(here: LocalCluster) -> Iterator[Cluster]:
    """The cluster, once both workers are there."""
    deadline = time.monotonic() + 60
    while True:
        try:
            with connected(here.address) as found:
                if len(found._client.nthreads()) == 2 or time.monotonic() > deadline:
                    yield found
                    return
        except ClusterError:
            assert time.monotonic() < deadline
        time.sleep(0.1)


@pytest.mark.slow
def test_cluster_changes_no_bit(scenario: Scenario, crew: Cluster) -> None:
    """Two workers elsewhere give the results of one process, in the same order; both have played."""
    found = replicate(scenario, 200, 4, crew, played)
    assert without_processes(found.results) == without_processes(replicate(scenario, 200, 4, 1, played).results)
    assert len({each.process for each in found.results}) == 2


@pytest.mark.slow
def test_faults_of_a_reduction_surface_from_a_cluster(scenario: Scenario, crew: Cluster) -> None:
    """As they do from a process here."""
    with pytest.raises(ArithmeticError, match="replication 7 cannot be reduced"):
        replicate(scenario, 10, 4, crew, refuse_the_seventh)


@pytest.mark.slow
def test_interrupt_keeps_what_is_done_on_a_cluster(scenario: Scenario, crew: Cluster) -> None:
    """Ctrl-C ends the run and cancels the rest, so that the cluster is free for the next."""
    heard = []

    def stop_after_three(number: int, _: list[Any]) -> None:
        heard.append(number)
        if len(heard) == 3:
            raise KeyboardInterrupt

    found = replicate(scenario, 20_000, 4, crew, played, stop_after_three)
    assert found.interrupted
    assert [each.replication for each in found.results] == [
        number for chunk, part in chunks_of(20_000) if chunk in heard for number in part
    ]
    assert len(replicate(scenario, 5, 4, crew, played).results) == 5


@pytest.mark.slow
def test_other_versions_are_refused(here: LocalCluster, crew: Cluster, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every worker is named with what it has and what the run has."""
    monkeypatch.setattr(cluster, "versions", lambda: versions() | {"simpy": "4.0.1"})
    with pytest.raises(ClusterError) as info, connected(here.address):
        pass
    lines = str(info.value).splitlines()
    assert len(lines) == 2
    for line in lines:
        assert line.startswith("tcp://127.0.0.1:")
        assert line.endswith(f"has simpy {versions()['simpy']}, the run 4.0.1: equal results need equal versions")
    with pytest.raises(ClusterError, match="a worker that joined later has simpy"):  # as each task looks for itself
        replicate(uncertain_pad(), 1, 4, crew, played)


@pytest.mark.slow
def test_worker_lost_half_way(scenario: Scenario, here: LocalCluster, crew: Cluster) -> None:
    """Kill -9 to one of two workers: the other plays what it had, and no bit changes. Last, for it stays dead."""

    def kill_one(number: int, _: list[Any]) -> None:
        if number == 20:
            here.workers[0].kill()

    found = replicate(scenario, 400, 4, crew, played, kill_one)
    assert here.workers[0].wait(10) != 0
    assert without_processes(found.results) == without_processes(replicate(scenario, 400, 4, 1, played).results)


def test_nobody_at_the_address(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nor is nonsense an address."""
    monkeypatch.setattr(cluster, "CONNECT_S", 1.5)
    for address in ("tcp://127.0.0.1:1", "nonsense", "ftp://127.0.0.1:1"):
        with pytest.raises(ClusterError, match=f"^no scheduler answers at '{address}'; expected"), connected(address):
            pass


@pytest.mark.slow
def test_scheduler_without_workers(tmp_path: Path) -> None:
    """Said at once, with how to start one."""
    with (
        local_cluster(tmp_path, 0) as alone,
        pytest.raises(ClusterError, match=f"has no workers; start some: dask worker {alone.address}"),
        connected(alone.address),
    ):
        pass


def test_without_the_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    """Which extra, and how to have it."""
    monkeypatch.setitem(sys.modules, "distributed", None)
    how = r"needs the extra `cluster`: pip install 'padtempo\[cluster\]'"
    with pytest.raises(ClusterError, match=how), connected("tcp://127.0.0.1:1"):
        pass


class Told:
    """A client whose tasks all end as it was told, and that has no workers."""

    status = "running"

    def __init__(self, end: BaseException | None) -> None:
        self._end = end

    def get_executor(self, *, pure: bool) -> Told:
        assert not pure
        return self

    def submit(self, _: Any) -> Future[Any]:
        future: Future[Any] = Future()
        if self._end is not None:
            future.set_exception(self._end)
        return future

    def nthreads(self) -> dict[str, int]:
        return {}


def test_what_kills_workers_of_a_cluster_is_played_here(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    """If it can be, that is that; if it ends processes here too, the run ends with its name."""
    monkeypatch.setattr(pool, "MOST_TRIES", 1)
    killed = distributed.KilledWorker("task", None, 3)
    crew = Cluster(Told(killed), "tcp://192.0.2.7:8786")
    assert without_processes(replicate(scenario, 1, 4, crew, played).results) == without_processes(
        replicate(scenario, 1, 4, 1, played).results
    )
    with pytest.raises(WorkerLostError, match="while playing replication 0 with seed 4"):
        replicate(scenario, 1, 4, crew, partial(die, 0))


def test_scheduler_that_goes_away(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its futures are cancelled, or nothing more is heard of it."""
    with pytest.raises(ClusterError, match=r"^the scheduler at tcp://192.0.2.7:8786 is gone$"):
        replicate(scenario, 1, 4, Cluster(Told(CancelledError()), "tcp://192.0.2.7:8786"), played)
    monkeypatch.setattr("sim.under_way.BEAT_S", 0.01)
    silent = Told(None)
    silent.status = "closed"
    with pytest.raises(ClusterError, match=r"is gone$"):
        replicate(scenario, 1, 4, Cluster(silent, "tcp://192.0.2.7:8786"), played)


def test_workers_that_never_come_back(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    """A run does not wait in silence for ever."""
    monkeypatch.setattr("sim.under_way.BEAT_S", 0.01)
    monkeypatch.setattr(cluster, "PATIENCE_S", 0.05)
    with pytest.raises(ClusterError, match="has had no worker for 0 seconds"):
        replicate(scenario, 1, 4, Cluster(Told(None), "tcp://192.0.2.7:8786"), played)
