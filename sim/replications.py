"""Many replications: in this process or over a pool of workers, with the same bits either way.

Replications are played in chunks. A chunk is a plain function call whose result depends on its arguments only, so
neither the number of workers nor the order in which chunks end can change a number.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Generic, TypeVar

from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario

R = TypeVar("R")
Chunk = tuple[int, range]  # its number, and its replications
Finished = tuple[int, list[R]]

MOST_TRIES = 3
MOST_IN_A_CHUNK = 50  # half a second of work on a pad of 300 stages: long against the 50 µs of handing it over


class WorkerLostError(Exception):
    """Workers died again and again on the same replications."""


@dataclass(frozen=True)
class Replicated(Generic[R]):
    """What `reduce` made of each replication, in their order; fewer than `asked` if interrupted."""

    results: list[R]
    asked: int

    @property
    def interrupted(self) -> bool:
        """Whether somebody stopped the run before its end."""
        return len(self.results) < self.asked


def keep(log: Log) -> Log:
    """The reduction that keeps everything."""
    return log


def chunks_of(n: int) -> list[Chunk]:
    """Replications 0 to n - 1 in chunks, whose size depends on nothing but `n`."""
    size = max(1, min(MOST_IN_A_CHUNK, n // 8))
    return [(k, range(first, min(first + size, n))) for k, first in enumerate(range(0, n, size))]


def replicate(
    scenario: Scenario,
    n: int,
    seed: int = 0,
    workers: int = 1,
    reduce: Callable[[Log], R] = keep,  # type: ignore[assignment] # R is Log where nothing else is said
    on_chunk: Callable[[int, list[R]], None] | None = None,
) -> Replicated[R]:
    """Play replications 0 to n - 1 and reduce each to what is wanted of it, in the worker that played it.

    `on_chunk(number, results)` hears of each chunk as it ends, in no particular order. Ctrl-C ends the run; the
    chunks done by then are returned, the rest is cancelled.
    """
    done: dict[int, list[R]] = {}
    try:
        for number, results in play(scenario, chunks_of(n), seed, workers, reduce):
            done[number] = results
            if on_chunk is not None:
                on_chunk(number, results)
    except KeyboardInterrupt:
        pass
    return Replicated([result for number in sorted(done) for result in done[number]], n)


def play(
    scenario: Scenario, chunks: Sequence[Chunk], seed: int, workers: int, reduce: Callable[[Log], R]
) -> Iterator[Finished[R]]:
    """Play chunks of replications, and yield each as it ends."""
    if workers <= 1:
        for number, replications in chunks:
            yield number, _play_chunk(scenario, replications, seed, reduce)
        return
    left = dict(chunks)
    while left:
        try:
            for number, results in _play_in_pool(scenario, left, seed, workers, reduce):
                del left[number]
                yield number, results
        except BrokenProcessPool:
            for number in list(left)[:workers]:  # chunks are handed out in this order: these were under way
                yield number, _play_alone(scenario, left.pop(number), seed, reduce)


def _play_alone(scenario: Scenario, replications: range, seed: int, reduce: Callable[[Log], R]) -> list[R]:
    """Play a chunk in a pool of its own. One dead worker breaks its whole pool; alone, its deaths are its own."""
    for _ in range(MOST_TRIES):
        with suppress(BrokenProcessPool):
            ((_, results),) = _play_in_pool(scenario, {0: replications}, seed, 1, reduce)
            return results
    which = f"{replications.start} to {replications.stop - 1}"
    raise WorkerLostError(f"workers died {MOST_TRIES} times over while playing replications {which}")


def _play_in_pool(
    scenario: Scenario, left: dict[int, range], seed: int, workers: int, reduce: Callable[[Log], R]
) -> Iterator[Finished[R]]:
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(min(workers, len(left)), mp_context=context, initializer=_settle_in)
    futures: dict[Future[list[R]], int] = {}
    try:
        with _interrupts_left_alone():
            for number, replications in left.items():
                futures[pool.submit(_play_chunk, scenario, replications, seed, reduce)] = number
        for future in as_completed(futures):
            yield futures[future], future.result()
    finally:
        for future in futures:  # shutting down alone would play the whole queue to its end first
            future.cancel()
        pool.shutdown(wait=True)


@contextmanager
def _interrupts_left_alone() -> Iterator[None]:
    """Workers that start meanwhile do not hear Ctrl-C, which a terminal sends to all processes at once."""
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread may choose what signals do
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _play_chunk(scenario: Scenario, replications: range, seed: int, reduce: Callable[[Log], R]) -> list[R]:
    return [reduce(simulate(scenario, replication, seed)) for replication in replications]


def _settle_in() -> None:
    """Leave Ctrl-C to the parent, and end with it: spawned workers would outlive a parent that is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
