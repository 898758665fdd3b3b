"""What tests make of each replication in the workers: plain functions, which spawned workers can import."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from typing import NamedTuple

from sim.log import Log


class Played(NamedTuple):
    """A replication, how it ended, and the process that played it."""

    replication: int
    end_h: float
    rows: int
    process: int


def played(log: Log) -> Played:
    """Little of a replication, and where it was played."""
    return Played(log.replication, max(row.end_h for row in log.intervals), len(log.intervals), os.getpid())


def played_in_company(marks: Path, log: Log) -> Played:
    """Wait until a second process plays too; each marks by a file that it is there."""
    (marks / str(os.getpid())).touch()
    for _ in range(400):
        if len(list(marks.iterdir())) > 1:
            break
        time.sleep(0.05)
    return played(log)


def refuse_the_seventh(log: Log) -> int:
    """A reduction with a fault that shows in one replication."""
    if log.replication == 7:
        raise ArithmeticError("replication 7 cannot be reduced")
    return log.replication


def die_once(deadly: frozenset[int], marks: Path, log: Log) -> Played:
    """End the worker without a word at each deadly replication, the first time it is played.

    What happened is marked by files, for a worker that dies remembers nothing.
    """
    if log.replication in deadly:
        mark = marks / f"died at {log.replication}"
        if not mark.exists():
            mark.touch()
            os.kill(os.getpid(), signal.SIGKILL)
    return played(log)


def die(deadly: int, log: Log) -> int:
    """End the worker without a word whenever it plays one replication."""
    if log.replication == deadly:
        os.kill(os.getpid(), signal.SIGKILL)
    return log.replication


def die_at_the_second(watched: int, marks: Path, log: Log) -> int:
    """End the worker at one replication, unless it is the first that the worker plays."""
    mark = marks / str(os.getpid())
    if log.replication == watched and mark.exists():
        os.kill(os.getpid(), signal.SIGKILL)
    mark.touch()
    return log.replication
