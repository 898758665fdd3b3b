"""Many replications of one plan or of several: in this process or over a pool of workers, with the same bits.

Replications are played in chunks. A chunk is a plain function call whose result depends on its arguments only, so
neither the number of workers nor the order in which chunks end can change a number.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from sim.cluster import Cluster
from sim.log import Log
from sim.pad import simulate
from sim.pool import carry_out
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Standing

R = TypeVar("R")
Chunk = tuple[int, range]  # its number, and its replications

MOST_IN_A_CHUNK = 50  # half a second of work on a pad of 300 stages: long against the 50 µs of handing it over
EARLIER_PER_CHUNK = 8  # a chunk is at most this part of what comes before it, so that workers end about together


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
    """Replications 0 to n - 1 in chunks, small ones first.

    The size of a chunk follows from where it starts, not from `n`: a longer run has the chunks of a shorter one, but
    for its last, and can go on where that ended.
    """
    chunks: list[Chunk] = []
    first = 0
    while first < n:
        size = max(1, min(MOST_IN_A_CHUNK, first // EARLIER_PER_CHUNK))
        chunks.append((len(chunks), range(first, min(first + size, n))))
        first += size
    return chunks


def replicate(
    scenario: Scenario,
    n: int,
    seed: int = 0,
    workers: int | Cluster = 1,
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
    workers: int | Cluster,
    reduce: Callable[[Log], R] | Mapping[str, Callable[[Log], R]],
    since: Standing = NOTHING_YET,
    skip: Collection[tuple[int, str]] = (),
) -> Iterator[tuple[str, int, list[R]]]:
    """Play the same chunks of replications of each plan, and yield plan, chunk and results as each ends.

    Replication k of one plan meets the same luck as replication k of another. A chunk is played of all plans before
    the next, so that wherever a run is stopped the plans are about level. Chunks of plans to `skip` are not played.
    `reduce` is for all plans, or one for each by its name.
    """
    left_out, reduced = set(skip), reduce if isinstance(reduce, Mapping) else dict.fromkeys(plans, reduce)
    tasks = {
        (number, name): partial(_play_chunk, scenario, replications, seed, reduced[name], since)
        for number, replications in chunks
        for name, scenario in plans.items()
        if (number, name) not in left_out
    }
    spans = dict(chunks)

    def named(key: tuple[int, str]) -> str:
        return f"{_called(spans[key[0]])}{f' of {key[1]}' if key[1] else ''} with seed {seed}"

    def pieces(key: tuple[int, str]) -> dict[str, Callable[[], list[R]]]:
        return {
            _called(one): partial(_play_chunk, plans[key[1]], one, seed, reduced[key[1]], since)
            for one in (range(each, each + 1) for each in spans[key[0]])
        }

    doing = workers.carry_out if isinstance(workers, Cluster) else partial(carry_out, workers=workers)
    for (number, name), results in doing(tasks, named=named, pieces=pieces):
        yield name, number, results


def _called(replications: range) -> str:
    if len(replications) == 1:
        return f"replication {replications.start}"
    return f"replications {replications.start} to {replications.stop - 1}"


def _play_chunk(
    scenario: Scenario, replications: range, seed: int, reduce: Callable[[Log], R], since: Standing
) -> list[R]:
    return [reduce(simulate(scenario, replication, seed, since)) for replication in replications]
