"""Many replications of one plan or of several: in this process or over a pool of workers, with the same bits.

Replications are played in chunks. A chunk is a plain function call whose result depends on its arguments only, so
neither the number of workers nor the order in which chunks end can change a number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from sim.log import Log
from sim.pad import simulate
from sim.pool import carry_out
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Standing

R = TypeVar("R")
Chunk = tuple[int, range]  # its number, and its replications

MOST_IN_A_CHUNK = 50  # half a second of work on a pad of 300 stages: long against the 50 µs of handing it over


@dataclass(frozen=True)
class Replicated(Generic[R]):
    """What `reduce` made of each replication, in their order; fewer than `asked` if interrupted."""

    results: list[R]
    asked: int

    @property
    def interrupted(self) -> bool:
        """Whether somebody stopped the run before its end."""
        return len(self.results) < self.asked


def keep(log: Log) -> Log:
    """The reduction that keeps everything."""
    return log


def chunks_of(n: int) -> list[Chunk]:
    """Replications 0 to n - 1 in chunks, whose size depends on nothing but `n`."""
    size = max(1, min(MOST_IN_A_CHUNK, n // 8))
    return [(k, range(first, min(first + size, n))) for k, first in enumerate(range(0, n, size))]


def replicate(
    scenario: Scenario,
    n: int,
    seed: int = 0,
    workers: int = 1,
    reduce: Callable[[Log], R] = keep,  # type: ignore[assignment] # R is Log where nothing else is said
    on_chunk: Callable[[int, list[R]], None] | None = None,
    since: Standing = NOTHING_YET,
) -> Replicated[R]:
    """Play replications 0 to n - 1 and reduce each to what is wanted of it, in the worker that played it.

    `on_chunk(number, results)` hears of each chunk as it ends, in no particular order. Ctrl-C ends the run; the
    chunks done by then are returned, the rest is cancelled. All go on from where the pad stands, `since`.
    """
    done: dict[int, list[R]] = {}
    try:
        for _, number, results in play({"": scenario}, chunks_of(n), seed, workers, reduce, since):
            done[number] = results
            if on_chunk is not None:
                on_chunk(number, results)
    except KeyboardInterrupt:
        pass
    return Replicated([result for number in sorted(done) for result in done[number]], n)


def play(
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int,
    workers: int,
    reduce: Callable[[Log], R],
    since: Standing = NOTHING_YET,
) -> Iterator[tuple[str, int, list[R]]]:
    """Play the same chunks of replications of each plan, and yield plan, chunk and results as each ends.

    Replication k of one plan meets the same luck as replication k of another. A chunk is played of all plans before
    the next, so that wherever a run is stopped the plans are about level.
    """
    tasks = {
        (number, name): partial(_play_chunk, scenario, replications, seed, reduce, since)
        for number, replications in chunks
        for name, scenario in plans.items()
    }
    spans = dict(chunks)

    def named(key: tuple[int, str]) -> str:
        replications, plan = spans[key[0]], f" of {key[1]}" if key[1] else ""
        return f"replications {replications.start} to {replications.stop - 1}{plan} with seed {seed}"

    for (number, name), results in carry_out(tasks, workers, named):
        yield name, number, results


def _play_chunk(
    scenario: Scenario, replications: range, seed: int, reduce: Callable[[Log], R], since: Standing
) -> list[R]:
    return [reduce(simulate(scenario, replication, seed, since)) for replication in replications]
