"""What Ctrl-C does to a run: never half a chunk, and a word where there is nothing to show."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class NothingPlayedError(Exception):
    """The run was stopped before there was anything to show."""


@contextmanager
def to_its_end() -> Iterator[None]:
    """Hold Ctrl-C back while a chunk is written: it counts as done only with all its parts."""
    if threading.current_thread() is not threading.main_thread():
        yield  # where Ctrl-C never lands
        return
    held: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: held.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if held:
        raise KeyboardInterrupt
