"""Plans played side by side, what is known of each chunk kept in a run directory, so that a study survives its end.

A chunk of a plan that is there already is read and not played again. What is kept has one part for each chunk of each
plan, numbered chunk by chunk, so that more replications only add parts. Without a directory nothing is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar, cast

from analysis.runs.parts import finished
from analysis.runs.run_directory import RunDirectory, RunDirectoryError, read_parts, replications_in, write_part
from analysis.runs.stopping import to_its_end
from sim.cluster import Cluster
from sim.log import Log
from sim.replications import Chunk, play
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

R = TypeVar("R")
Q = TypeVar("Q")
Hear = Callable[[int], None]  # of so many replications that have been played
Arriving = Iterator[tuple[str, int, list[R]]]  # plan, chunk, and a result for each of its replications


class Form(NamedTuple, Generic[R]):
    """How results become rows of a table, the replication and the plan among them, and rows results again."""

    table: str
    plan: str  # the column that names it
    rows: Callable[[str, range, Sequence[R]], Sequence[tuple[Any, ...]]]
    results: Callable[[pd.DataFrame], list[R]]


@dataclass(frozen=True)
class Kept(Generic[R]):
    """Where results of these plans are kept, if anywhere, and which parts of them were there at the start."""

    run: RunDirectory | None
    form: Form[R]
    names: tuple[str, ...]
    done: frozenset[int] = frozenset()

    def there(self, plans: Collection[str], chunks: Sequence[Chunk]) -> list[tuple[int, str]]:
        """Which chunks of these plans are there, in the order in which they are played."""
        keys = ((number, name) for number, _ in chunks for name in plans)
        return [(number, name) for number, name in keys if self._part(number, name) in self.done]

    def count(self, plans: Collection[str], chunks: Sequence[Chunk]) -> int:
        """How many replications of these plans are there, all told."""
        spans = dict(chunks)
        return sum(len(spans[number]) for number, _ in self.there(plans, chunks))

    def read(self, number: int, name: str) -> list[R]:
        """A chunk that is there. Raises RunDirectoryError, naming the file, when it is damaged or of another plan."""
        assert self.run is not None
        path = self.run.parts(self.form.table)[self._part(number, name)]
        frame = read_parts(self.form.table, [path])
        if set(frame[self.form.plan]) != {name}:
            raise RunDirectoryError(f"{path}: holds other plans than '{name}'; remove it to have that played again")
        return self.form.results(frame)

    def write(self, number: int, name: str, replications: range, results: Sequence[R]) -> None:
        """Keep a chunk, all of it, whenever Ctrl-C comes. Raises RunDirectoryError when it cannot be written."""
        if self.run is not None:
            with to_its_end():
                write_part(
                    self.run, self.form.table, self._part(number, name), self.form.rows(name, replications, results)
                )

    def _part(self, number: int, name: str) -> int:
        return number * len(self.names) + self.names.index(name)


def parts_of(names: Sequence[str], chunks: Sequence[Chunk]) -> list[Chunk]:
    """The parts of these plans, each with its replications."""
    return [(number * len(names) + place, each) for number, each in chunks for place in range(len(names))]


def replications_kept(run: RunDirectory | None, tables: Iterable[str]) -> int:
    """Replications in all parts of these tables, whatever plans they are of."""
    if run is None:
        return 0
    parts = [(table, part) for table in tables for part in run.parts(table).values()]
    return sum(len(replications_in(table, part)) for table, part in parts)


def kept_in(run: RunDirectory | None, form: Form[R], names: Iterable[str], chunks: Sequence[Chunk]) -> Kept[R]:
    """What a directory keeps of these plans. Raises RunDirectoryError when a part of it is damaged."""
    plans = tuple(names)
    done = finished(run, parts_of(plans, chunks), (form.table,)) if run is not None else set[int]()
    return Kept(run, form, plans, frozenset(done))


def nowhere(names: Iterable[str]) -> Kept[Any]:
    """Results of these plans that are kept nowhere."""
    return Kept(None, Form("", "", lambda *_: (), lambda _: []), tuple(names))


def played(
    kept: Kept[R],
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int,
    workers: int | Cluster,
    reduce: Callable[[Log], Q] | Mapping[str, Callable[[Log], Q]],
    hear: Hear | None = None,
    made: Callable[[str, Q], R] = lambda _, found: found,  # type: ignore[assignment,return-value] # Q is R then
) -> Arriving[R]:
    """Chunks of plans that are there, then the others as they end; these are kept, and `hear` is told of them.

    Results are `made` of a plan's name and what its logs were reduced to, which is done here and not in workers.
    """
    there, spans = kept.there(plans, chunks), dict(chunks)
    for number, name in there:
        yield name, number, kept.read(number, name)
    for name, number, found in play(plans, chunks, seed, workers, reduce, skip=there):
        results = [made(name, each) for each in found]
        kept.write(number, name, spans[number], results)
        if hear is not None:
            hear(len(results))
        yield name, number, results


def played_in_order(
    kept: Kept[R],
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int,
    workers: int | Cluster,
    reduce: Callable[[Log], R],
    hear: Hear | None = None,
) -> Generator[Mapping[str, list[R]]]:
    """Chunks of all plans, each as soon as it and all before it are done, and kept only then.

    So what is kept does not depend on how far workers had come when somebody had heard enough and closed this.
    """
    there, spans = set(kept.there(plans, chunks)), dict(chunks)
    arriving = _there_then_played(kept, plans, chunks, seed, workers, reduce, there)
    with closing(in_order(arriving, plans, chunks)) as ordered:
        for number, found in ordered:
            for name, results in found.items():
                if (number, name) not in there:
                    kept.write(number, name, spans[number], results)
                    if hear is not None:
                        hear(len(results))
            yield found


def _there_then_played(
    kept: Kept[R],
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int,
    workers: int | Cluster,
    reduce: Callable[[Log], R],
    there: Collection[tuple[int, str]],
) -> Generator[tuple[str, int, list[R]]]:
    for number, name in sorted(there, key=lambda key: key[0]):
        yield name, number, kept.read(number, name)
    yield from play(plans, chunks, seed, workers, reduce, skip=there)


def in_order(
    arriving: Arriving[R], plans: Collection[str], chunks: Sequence[Chunk]
) -> Generator[tuple[int, Mapping[str, list[R]]]]:
    """Chunks of all plans in their order. Closed early, it closes what it hears from, which ends its workers."""
    done: dict[int, dict[str, list[R]]] = {}
    due = [number for number, _ in chunks]
    with closing(cast("Generator[tuple[str, int, list[R]]]", arriving)) as each:
        for name, number, results in each:
            done.setdefault(number, {})[name] = results
            while due and len(done.get(due[0], ())) == len(plans):
                first = due.pop(0)
                yield first, done.pop(first)
