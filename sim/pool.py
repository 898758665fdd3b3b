"""Tasks over a pool of worker processes: any number of workers, one that dies, and Ctrl-C.

A task is a plain call whose result depends on nothing but its arguments, so neither the number of workers nor the
order in which tasks end can change a number.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Hashable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")

MOST_TRIES = 3


class WorkerLostError(Exception):
    """Workers died again and again on the same task."""


def carry_out(tasks: Mapping[K, Callable[[], T]], workers: int, named: Callable[[K], str]) -> Iterator[tuple[K, T]]:
    """Do all tasks, in this process if one worker is asked for, and yield each with its result as it ends.

    `named` says in an error what a task is. Raises WorkerLostError when a task has killed its worker again and again.
    """
    if workers <= 1:
        for key, task in tasks.items():
            yield key, task()
        return
    left = dict(tasks)
    while left:
        try:
            for key, result in _in_pool(left, workers):
                del left[key]
                yield key, result
        except BrokenProcessPool:
            for key in list(left)[:workers]:  # tasks are handed out in this order: these were under way
                yield key, _alone(left.pop(key), named(key))


def _alone(task: Callable[[], T], name: str) -> T:
    """Do a task in a pool of its own. One dead worker breaks its whole pool; alone, its deaths are its own."""
    for _ in range(MOST_TRIES):
        with suppress(BrokenProcessPool):
            ((_, result),) = _in_pool({0: task}, 1)
            return result
    raise WorkerLostError(f"workers died {MOST_TRIES} times over while playing {name}")


def _in_pool(tasks: Mapping[K, Callable[[], T]], workers: int) -> Iterator[tuple[K, T]]:
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(min(workers, len(tasks)), mp_context=context, initializer=_settle_in)
    futures: dict[Future[T], K] = {}
    try:
        with _interrupts_left_alone():
            for key, task in tasks.items():
                futures[pool.submit(task)] = key
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


def _settle_in() -> None:
    """Leave Ctrl-C to the parent, and end with it: spawned workers would outlive a parent that is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
