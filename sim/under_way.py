"""A few tasks under way at a time, whoever does them.

What has ended is let go of, so that memory does not grow with the number of tasks.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Hashable, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, wait
from itertools import islice
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")

BEAT_S = 1.0  # how often somebody looks whether anything can still come


def nobody_looks() -> None:
    """Nothing can go wrong without the futures saying so."""


def flow(
    tasks: Mapping[K, Callable[[], T]],
    submit: Callable[[Callable[[], T]], Future[T]],
    ahead: int,
    look: Callable[[], None] = nobody_looks,
) -> Generator[tuple[K, Future[T]], None, None]:
    """Submit tasks in their order, `ahead` at most not yet ended, and yield each with its future once that has.

    `look` is called now and then while nothing ends, and may raise. Whatever stops this, tasks not begun are cancelled:
    to wait for all that was submitted would play a whole queue to its end first.
    """
    waiting = iter(list(tasks.items()))
    under_way: dict[Future[T], K] = {}
    try:
        while True:
            for key, task in islice(waiting, ahead - len(under_way)):
                under_way[submit(task)] = key
            if not under_way:
                return
            ended = wait(under_way, BEAT_S, FIRST_COMPLETED).done
            if not ended:
                look()
            for future in ended:
                yield under_way.pop(future), future
    finally:
        for future in under_way:
            future.cancel()
