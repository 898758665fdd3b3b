"""A cluster on this machine: a scheduler and workers as processes of their own, as a user would start them."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
SCHEDULER = ("scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file")
WORKER = ("worker", "--nthreads", "1", "--no-nanny", "--no-dashboard", "--scheduler-file")


class LocalCluster(NamedTuple):
    """Where it is, and its processes."""

    address: str
    scheduler: subprocess.Popen[bytes]
    workers: list[subprocess.Popen[bytes]]


@contextmanager
def local_cluster(folder: Path, workers: int) -> Iterator[LocalCluster]:
    """A scheduler and so many workers, all ended by the end."""
    file = folder / "scheduler.json"
    with ExitStack() as stack:
        scheduler = stack.enter_context(_process(*SCHEDULER, str(file)))
        deadline = time.monotonic() + PATIENCE_S
        while not (file.exists() and file.read_text()):
            assert scheduler.poll() is None
            assert time.monotonic() < deadline
            time.sleep(0.05)
        crew = [stack.enter_context(_process(*WORKER, str(file))) for _ in range(workers)]
        yield LocalCluster(json.loads(file.read_text())["address"], scheduler, crew)


@contextmanager
def _process(kind: str, *options: str) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", f"distributed.cli.dask_{kind}", *options]
    quiet = subprocess.DEVNULL
    with subprocess.Popen(command, cwd=ROOT, stdout=quiet, stderr=quiet) as process:
        try:
            yield process
        finally:
            process.kill()
