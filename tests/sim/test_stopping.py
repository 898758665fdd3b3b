"""Runs over workers that are stopped from outside: by Ctrl-C, and by a kill that nobody can answer."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from sim.pad import simulate
from sim.replications import chunks_of
from tests.sim.long_run import ASKED, SEED
from tests.sim.uncertain_pad import uncertain_pad

ROOT = Path(__file__).parents[2]
PATIENCE_S = 20.0  # before a test gives up; nothing is measured


def is_alive(process: int) -> bool:
    """Whether a process exists and has not ended; one that only waits to be buried has."""
    try:
        stat = Path(f"/proc/{process}/stat").read_text()
    except OSError:
        return False
    return stat.rpartition(")")[2].split()[0] not in {"Z", "X"}


def waited_for(condition: Callable[[], bool]) -> bool:
    """Whether it came true before patience ran out."""
    deadline = time.monotonic() + PATIENCE_S
    while not condition() and time.monotonic() < deadline:
        time.sleep(0.05)
    return condition()


@contextmanager
def long_run(workers: int) -> Iterator[subprocess.Popen[str]]:
    """A long run in a process group of its own, as a terminal would give it."""
    command = [sys.executable, "-m", "tests.sim.long_run", str(workers)]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as run:
        try:
            yield run
        finally:
            run.kill()


def listen_until(run: subprocess.Popen[str], workers: int) -> tuple[int, set[int]]:
    """Chunks heard of, and processes of the workers, up to the moment at which all of them have done something."""
    chunks, processes = 0, set[int]()
    assert run.stdout is not None
    while len(processes) < workers:
        said = json.loads(run.stdout.readline())
        chunks += 1
        processes |= set(said["processes"])
    return chunks, processes


def last_words(run: subprocess.Popen[str]) -> tuple[int, dict[str, Any]]:
    """Chunks heard of after the stop, and the report at the end."""
    output, errors = run.communicate(timeout=PATIENCE_S)
    assert (errors, run.returncode) == ("", 0)
    *chunks, report = map(json.loads, output.splitlines())
    return len(chunks), report


pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks for processes under /proc")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("workers", "send"),
    [
        pytest.param(1, os.kill, id="alone"),
        pytest.param(2, os.kill, id="the parent only"),
        pytest.param(2, os.killpg, id="all of them, as a terminal does"),
    ],
)
def test_ctrl_c_keeps_what_is_done(workers: int, send: Callable[[int, int], None]) -> None:
    """Finished chunks come back, whole and to the bit; the run says that it is not all, and leaves nobody behind."""
    with long_run(workers) as run:
        chunks, processes = listen_until(run, workers)
        send(run.pid, signal.SIGINT)
        more, report = last_words(run)
    kept = report["kept"]
    assert report["interrupted"]
    assert report["asked"] == ASKED
    replications = [replication for replication, _ in kept]
    whole = [part for _, part in chunks_of(ASKED) if part.start in set(replications)]
    assert replications == [replication for part in whole for replication in part]
    assert chunks + more <= len(whole)
    assert len(kept) < ASKED
    assert not any(map(is_alive, processes))
    for replication, end_h in kept[::97]:
        log = simulate(uncertain_pad(), replication, SEED)
        assert end_h == max(row.end_h for row in log.intervals)


@pytest.mark.slow
def test_workers_end_with_a_parent_that_is_killed() -> None:
    """After kill -9 nobody tells the workers to stop; they notice by themselves."""
    with long_run(2) as run:
        _, processes = listen_until(run, 2)
        assert all(map(is_alive, processes))
        run.kill()
        run.wait(PATIENCE_S)
        assert waited_for(lambda: not any(map(is_alive, processes)))
