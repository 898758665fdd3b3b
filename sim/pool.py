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
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, contextmanager, suppress
from typing import TypeVar

from sim.under_way import flow

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")
Task = Callable[[], T]
Pieces = Callable[[K], Mapping[str, Task[T]]]  # of a task, by what each is called

MOST_TRIES = 3


class WorkerLostError(Exception):
    """Workers died again and again on the same task."""


def carry_out(
    tasks: Mapping[K, Task[T]], workers: int, named: Callable[[K], str], pieces: Pieces[K, T] | None = None
) -> Iterator[tuple[K, T]]:
    """Do all tasks, in this process if one worker is asked for, and yield each with its result as it ends.

    `named` says in an error what a task is, `pieces` into what it can be taken apart to find what kills. Raises
    WorkerLostError when a task has killed its worker again and again.
    """
    if workers <= 1:
        for key, task in tasks.items():
            yield key, task()
        return
    left = dict(tasks)
    while left:
        try:
            for key, result in _in_pool(left, workers, ahead=2 * workers + 2):
                del left[key]
                yield key, result
        except BrokenProcessPool:
            for key in list(left)[:workers]:  # tasks are handed out in this order: these were under way
                yield key, alone(left.pop(key), named(key), pieces(key) if pieces else {})


def alone(task: Task[T], name: str, pieces: Mapping[str, Task[T]]) -> T:
    """Do a task in a pool of its own. One dead worker breaks its whole pool; alone, its deaths are its own.

    Raises WorkerLostError, which names the one piece that kills if there is one.
    """
    for _ in range(MOST_TRIES):
        with suppress(BrokenProcessPool):
            ((_, result),) = _in_pool({0: task}, 1, ahead=1)
            return result
    raise WorkerLostError(
        f"workers died {MOST_TRIES} times over while playing {_suspect(name, pieces)}; "
        "what ends a worker without a word is most often the system, for want of memory"
    )


def _suspect(name: str, pieces: Mapping[str, Task[T]]) -> str:
    if len(pieces) < 2:
        return name
    found = _last_words(pieces)
    if found is None or _last_words({found: pieces[found]}) is None:
        return f"{name}, though none of them does it by itself"
    return f"{found}, one of {name}"


def _last_words(pieces: Mapping[str, Task[T]]) -> str | None:
    """Which piece was played when a worker that plays them one after the other died, if it did."""
    left = dict(pieces)
    try:
        for name, _ in _in_pool(left, 1, ahead=1):
            del left[name]
    except BrokenProcessPool:
        return next(iter(left))
    return None


def _in_pool(tasks: Mapping[K, Task[T]], workers: int, ahead: int) -> Iterator[tuple[K, T]]:
    if not tasks:
        return
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(min(workers, len(tasks)), mp_context=context, initializer=settle_in)
    try:
        with _interrupts_left_alone():
            pool.submit(int)  # the first call starts all processes
        submit: Callable[[Task[T]], Future[T]] = pool.submit
        with closing(flow(tasks, submit, ahead)) as ended:
            for key, future in ended:
                yield key, future.result()
    finally:
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


def settle_in() -> None:
    """What a worker does first: leave Ctrl-C to the parent, and end with it, which spawned workers would outlive."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
