"""What a replication costs, measured: `python -m tests.benchmarks` prints the table of DEVELOPERS.md.

Nothing here fails on a slow machine; what is asserted about cost is the number of events (test_event_counts.py).
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import sim
from analysis.field.jobs import jobs_of
from analysis.field.reading import read_log
from analysis.field.synthetic import invented_log
from analysis.measures import measure
from analysis.pricing.amounts import amounts
from sim.pad import simulate
from sim.replications import replicate
from sim.scenario import load_stated, read, stated
from sim.scenario.scenario import Scenario
from tests.benchmarks import variance
from tests.benchmarks.bare_zipper import bare_zipper
from tests.benchmarks.growth import SMALL, bytes_moved, memory, per_chunk
from tests.benchmarks.pads import many_wells, undisturbed

SCENARIO = Path(__file__).parents[2] / "scenarios" / "six_well_pad.yaml"


def best_ms(work: Callable[[int], Any], times: int = 20, clock: Callable[[], float] = time.process_time) -> float:
    """The quickest of several runs, in time of the processor: least disturbed by whatever else the machine does."""
    found = []
    for number in range(times):
        began = clock()
        work(number)
        found.append(clock() - began)
    return 1000 * min(found)


def one_replication() -> None:
    """The example pad beside a bare zipper of as many stages, turn by turn so that both see the same machine."""
    scenario = sim.load(SCENARIO)
    stages = sum(well.stage_count for well in scenario.wells)
    for name, plan in (("without troubles, weather, pressures", undisturbed(scenario)), ("everything on", scenario)):
        ratio, bare_ms, pad_ms = sorted(_beside_the_bare(plan, stages) for _ in range(3))[1]
        print(f"bare zipper, {stages} stages      {bare_ms:8.2f} ms")
        print(f"example pad                   {pad_ms:8.2f} ms, {ratio:.2f} times the bare zipper ({name})")
    log = simulate(scenario, 0, 1)
    print(f"reducing its log to measures  {best_ms(lambda _: measure(log)):8.2f} ms")
    print(f"and to amounts for prices     {best_ms(lambda _: amounts(scenario, log)):8.2f} ms")


def _beside_the_bare(plan: Scenario, stages: int) -> tuple[float, float, float]:
    bare_ms = best_ms(lambda number: bare_zipper(6, stages // 6, 2, 2, number))
    pad_ms = best_ms(lambda number: simulate(plan, number, 1))
    return pad_ms / bare_ms, bare_ms, pad_ms


def by_size() -> None:
    """Cost per stage from 2 to 64 wells: flat, or something grows with the pad."""
    for wells in (2, 4, 8, 16, 32, 64):
        scenario = many_wells(wells)
        cost_ms = best_ms(lambda number, plan=scenario: simulate(plan, number, 1), 5)
        print(f"{wells:3d} wells of 40 stages        {cost_ms:8.2f} ms, {1000 * cost_ms / (40 * wells):.1f} us a stage")


def workers() -> None:
    """One worker against two and more, starting them included."""
    scenario, n = sim.load(SCENARIO), 1000
    alone_s = 0.0
    for count in sorted({1, 2, os.cpu_count() or 1}):
        began = time.perf_counter()
        replicate(scenario, n, 1, count, measure)
        took_s = time.perf_counter() - began
        alone_s = alone_s or took_s
        name = f"{count} worker{'s' if count > 1 else ' '}"
        print(f"{n} replications, {name}   {took_s:8.2f} s, {alone_s / took_s:.2f} times as fast")


def growth() -> None:
    """What grows with the number of replications."""
    bytes_moved("example pad", sim.load(SCENARIO))
    bytes_moved("small pad", many_wells(*SMALL))
    per_chunk(sim.load(SCENARIO))
    memory()


def start_up() -> None:
    """How long a planner waits for `padtempo --help`."""
    command = [str(Path(sys.executable).with_name("padtempo")), "--help"]
    cost_ms = best_ms(lambda _: subprocess.run(command, check=True, capture_output=True), 7, time.perf_counter)
    print(f"padtempo --help               {cost_ms:8.0f} ms (goal: under 500)")


def long_log() -> None:
    """Reading a stage log of some ninety thousand rows, and putting its jobs together."""
    plan = stated(read(SCENARIO))
    plan |= {"wells": [{"name": f"Larkspur {number}"} for number in range(1, 341)], "horizon": "6000 day"}
    scenario = load_stated({key: value for key, value in plan.items() if key != "alternatives"})
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.csv"
        file.write_text(invented_log(scenario, 1).csv(), encoding="utf-8")
        log = read_log(file, scenario)
        read_s = best_ms(lambda _: read_log(file, scenario), 3) / 1000
    jobs_s = best_ms(lambda _: jobs_of(log), 3) / 1000
    print(f"reading a log, {log.read:,} rows     {read_s:6.1f} s, its {len(jobs_of(log)):,} jobs {jobs_s:.1f} s")


if __name__ == "__main__":
    one_replication()
    by_size()
    workers()
    growth()
    start_up()
    variance.show()
    long_log()
