"""What grows with the number of replications: memory, bytes moved, and what a chunk costs beside its replications."""

from __future__ import annotations

import os
import pickle
import resource
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

from analysis.forecasting.forecast import TABLES, forecast, write_parts
from analysis.forecasting.summary import summarise
from analysis.measures import Measures
from analysis.pricing.amounts import measure_for
from analysis.pricing.ledger import reckon
from analysis.runs.parts import Parts
from analysis.runs.run_directory import RunDirectory, create
from sim.pad import simulate
from sim.pool import carry_out
from sim.replications import MOST_IN_A_CHUNK
from sim.scenario.scenario import Scenario
from tests.benchmarks.pads import FUEL, PRICES, many_wells

SMALL = (2, 5)  # wells and stages of a pad on which 20 000 replications are played in half a minute
FEW, MANY = 1000, 20_000


def chunk(scenario: Scenario) -> list[Measures]:
    """What a worker sends of a whole chunk."""
    reduce = measure_for(scenario)
    return [reduce(simulate(scenario, replication, 1)) for replication in range(MOST_IN_A_CHUNK)]


def bytes_moved(name: str, scenario: Scenario) -> None:
    """Of a task to the worker, of a replication back, and of a replication on disk."""
    results = chunk(scenario)
    with tempfile.TemporaryDirectory() as folder:
        run = create(Path(folder) / "run", overwrite=False)
        write_parts(Parts(run), 0, results)
        on_disk = sum(part.stat().st_size for table in TABLES for part in run.parts(table).values())
    back, there = len(pickle.dumps(results)) / len(results), len(pickle.dumps(scenario))
    print(f"{name}: {there / 1000:.1f} kB to a worker for each chunk, {back:.0f} bytes back for each replication, "
          f"{on_disk / len(results):.0f} on disk")  # fmt: skip


def per_chunk(scenario: Scenario) -> None:
    """Handing a chunk over, and writing its parts: what the one process that gathers does for each."""
    began, tasks = time.perf_counter(), 2000
    for _ in carry_out({number: partial(int, number) for number in range(tasks)}, 2, str):
        pass
    handed_ms = 1000 * (time.perf_counter() - began) / tasks
    results = chunk(scenario)
    with tempfile.TemporaryDirectory() as folder:
        for name, parts in (("in memory", Parts(None)), ("on disk", Parts(create(Path(folder) / "run", False)))):
            print(f"writing the parts of a chunk {name:9s} {_writing_ms(parts, results):8.2f} ms")
    print(f"handing over an empty chunk, start included {handed_ms:8.2f} ms")


def _writing_ms(parts: Parts, results: list[Measures]) -> float:
    found = []
    for number in range(20):
        began = time.process_time()  # of the processor: what else the machine does, and its disk, apart
        write_parts(parts, number, results)
        found.append(time.process_time() - began)
    return 1000 * min(found)


def memory() -> None:
    """Most memory of the process that gathers, in runs of few and of many replications."""
    for kept in ("in memory", "on disk"):
        few, many = (_most_mb(n, kept) for n in (FEW, MANY))
        (low, tables_low), (high, tables_high) = few, many
        print(f"kept {kept:9s} {FEW} replications {low:4.0f} MB, {MANY} {high:4.0f} MB: {high - low:3.0f} MB more, "
              f"of which the tables {tables_high - tables_low:3.0f} MB")  # fmt: skip


def _most_mb(n: int, kept: str) -> tuple[float, float]:
    command = [sys.executable, "-m", "tests.benchmarks.growth", str(n), kept]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    return float(said[0]), float(said[1])


def forecast_once(n: int, kept: str) -> None:
    """A forecast as the command makes it; prints the most memory this process had and its tables take, in MB."""
    scenario = many_wells(*SMALL, prices=PRICES, fuel=FUEL, horizon="200 day")
    with tempfile.TemporaryDirectory() as folder:
        run: RunDirectory | None = create(Path(folder) / "run", overwrite=False) if kept == "on disk" else None
        played = forecast(scenario, n, 1, os.cpu_count() or 1, run)
        summarise(played)
        reckon(played)
    tables = sum(getattr(played, table).memory_usage(deep=True).sum() for table in TABLES)
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, tables / 2**20)


if __name__ == "__main__":
    forecast_once(int(sys.argv[1]), sys.argv[2])
