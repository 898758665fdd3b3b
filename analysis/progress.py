"""How far a run is and when it will be done: a bar on a terminal, now and then a line in a file."""

from __future__ import annotations

import time
from typing import Self, TextIO

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
from rich.progress import Progress as Bar

EVERY_S = 10.0  # between lines, where nobody watches: a night's log should look alive, not full


class Progress:
    """Counts replications up to `total`. Use as a context; silent on a stream that is no terminal if it is quick.

    With `at_most` the run may end sooner, so nothing is said of the time left. `there` replications were there before,
    and say nothing of how long the others take.
    """

    def __init__(self, total: int, stream: TextIO, there: int = 0, *, at_most: bool = False) -> None:
        self._total, self._stream, self._done, self._there, self._at_most = total, stream, there, there, at_most
        self._began_s = self._told_s = time.monotonic()
        self._bar: Bar | None = None
        if stream.isatty():
            counted = TextColumn("replications, at most" if at_most else "replications")
            left = () if at_most else (TimeRemainingColumn(),)
            self._bar = Bar(
                counted, BarColumn(), MofNCompleteColumn(), *left, console=Console(file=stream), transient=True
            )
            self._task = self._bar.add_task("", total=total, completed=there)

    def __enter__(self) -> Self:
        if self._bar is not None:
            self._bar.start()
        return self

    def __exit__(self, *_: object) -> None:
        if self._bar is not None:
            self._bar.stop()

    def advance(self, replications: int) -> None:
        """So many more are done."""
        self._done += replications
        if self._bar is not None:
            self._bar.advance(self._task, replications)
        elif time.monotonic() - self._told_s >= EVERY_S:
            self._tell()

    def _tell(self) -> None:
        self._told_s = time.monotonic()
        if self._at_most:
            print(f"{self._done} of at most {self._total} replications", file=self._stream, flush=True)
            return
        left_s = (self._told_s - self._began_s) / (self._done - self._there) * (self._total - self._done)
        print(f"{self._done} of {self._total} replications, about {left_s:.0f} s left", file=self._stream, flush=True)
