"""Tasks over a Dask cluster: the same calls as over a pool of processes, on other machines, hence with the same bits.

A worker that is lost is made good by the cluster itself, which gives its tasks to others. What the cluster cannot make
good ends as ClusterError, a message for the user. Needs the optional extra `cluster`.
"""

from __future__ import annotations

import logging
import time
import warnings
from collections.abc import Callable, Hashable, Iterator, Mapping
from concurrent.futures import CancelledError, Future
from contextlib import closing, contextmanager
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from sim.pool import Pieces, Task, alone
from sim.under_way import flow
from sim.versions import that_differ, versions

if TYPE_CHECKING:
    from distributed import Client

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")

AHEAD = 256  # tasks handed over: enough for that many cores, few enough to be cancelled at once
CONNECT_S = 10  # until an address at which nobody answers is given up
PATIENCE_S = 60.0  # without any worker, before a run is


class ClusterError(Exception):
    """A cluster cannot be used, or was lost; the message is for the user."""


class Cluster:
    """A cluster that `connected` found fit for a run."""

    def __init__(self, client: Client, address: str) -> None:
        self._client = client
        self._address = address
        self._empty_since_s: float | None = None

    def carry_out(
        self, tasks: Mapping[K, Task[T]], named: Callable[[K], str], pieces: Pieces[K, T] | None = None
    ) -> Iterator[tuple[K, T]]:
        """Do all tasks, and yield each with its result as it ends.

        A task that has killed several workers is tried once more in processes here, which spares the cluster. Raises
        WorkerLostError if it kills those too, ClusterError when the scheduler or all workers are gone.
        """
        from distributed import KilledWorker  # noqa: PLC0415

        executor = self._client.get_executor(pure=False)  # else equal calls are taken for one

        def submit(task: Task[T]) -> Future[T]:
            return executor.submit(partial(_on_same_versions, versions(), task))  # type: ignore[no-any-return]

        with closing(flow(tasks, submit, AHEAD, self._look_for_workers)) as ended:
            for key, future in ended:
                try:
                    result = future.result()
                except KilledWorker:
                    result = alone(tasks[key], named(key), pieces(key) if pieces else {})
                except CancelledError as error:
                    raise ClusterError(f"the scheduler at {self._address} is gone") from error
                self._empty_since_s = None
                yield key, result

    def _look_for_workers(self) -> None:
        """Workers may be gone for a while, as while machines start again, but not for ever."""
        if self._client.status != "running":
            raise ClusterError(f"the scheduler at {self._address} is gone")
        if self._client.nthreads():
            self._empty_since_s = None
            return
        now_s = time.monotonic()
        self._empty_since_s = self._empty_since_s or now_s
        if now_s - self._empty_since_s > PATIENCE_S:
            raise ClusterError(f"the cluster at {self._address} has had no worker for {PATIENCE_S:.0f} seconds")


@contextmanager
def connected(address: str) -> Iterator[Cluster]:
    """The cluster whose scheduler listens at `address`, such as `tcp://192.0.2.7:8786`, until the block ends.

    Raises ClusterError when the extra is not installed, nobody answers, there are no workers, or they have other
    versions than this process.
    """
    try:
        import distributed  # noqa: F401, PLC0415
    except ModuleNotFoundError as error:
        raise ClusterError("--cluster needs the extra `cluster`: pip install 'padtempo[cluster]'") from error
    with _own_words_only():
        client = _client(address)
        try:
            _refuse_unfit(client, address)
            yield Cluster(client, address)
        finally:
            client.close(timeout=CONNECT_S)


def _client(address: str) -> Client:
    from distributed import Client  # noqa: PLC0415
    from distributed.versions import VersionMismatchWarning  # noqa: PLC0415

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", VersionMismatchWarning)  # _refuse_unfit says it, of the versions that matter
        try:
            return Client(address, timeout=CONNECT_S, set_as_default=False)
        except (OSError, ValueError, TypeError) as error:
            raise ClusterError(
                f"no scheduler answers at {address!r}; expected the address that `dask scheduler` prints, such as "
                "tcp://192.0.2.7:8786"
            ) from error


@contextmanager
def _own_words_only() -> Iterator[None]:
    """The library logs what it cannot do, beside raising it; raised, it becomes a message of ours."""
    names = [name for name in logging.root.manager.loggerDict if name.partition(".")[0] == "distributed"]
    levels = {name: logging.getLogger(name).level for name in names}
    for name in names:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        for name, level in levels.items():
            logging.getLogger(name).setLevel(level)


def _refuse_unfit(client: Client, address: str) -> None:
    there = client.run(_versions_by_value())
    if not there:
        raise ClusterError(f"the scheduler at {address} has no workers; start some: dask worker {address}")
    problems = [f"{worker} {_unlike(versions(), found)}" for worker, found in sorted(there.items()) if _differs(found)]
    if problems:
        raise ClusterError("\n".join(problems))


def _differs(found: dict[str, str]) -> bool:
    return bool(that_differ(versions(), found))


def _unlike(run: dict[str, str], worker: dict[str, str]) -> str:
    pairs = that_differ(run, worker).items()
    what = ", ".join(f"{name} {theirs}, the run {ours}" for name, (ours, theirs) in pairs)
    return f"has {what}: equal results need equal versions"


def _versions_by_value() -> Callable[[], dict[str, str]]:
    """A function that travels as code, so that a worker without padtempo can answer too."""

    def found() -> dict[str, str]:
        import platform  # noqa: PLC0415
        from importlib import metadata  # noqa: PLC0415

        have = {each.name.lower(): each.version for each in metadata.distributions() if each.name}
        return {"python": platform.python_version()} | {
            name: have[name] for name in ("padtempo", "numpy", "simpy") if name in have
        }

    return found


def _on_same_versions(expected: dict[str, str], task: Task[T]) -> T:
    """Do the task in a worker, which may have joined after all others were looked at."""
    if that_differ(expected, versions()):
        raise ClusterError(f"a worker that joined later {_unlike(expected, versions())}")
    return task()
