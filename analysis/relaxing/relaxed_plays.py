"""Plans with limits lifted as they are played and kept, in one table for single limits and in one for pairs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from analysis.relaxing.relax import Measure, Played, Reduced, RelaxedRow, reduced_to
from analysis.runs.kept_plays import Form, Kept, kept_in, played
from sim.cluster import Cluster
from sim.replications import Chunk
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory

SINGLES, PAIRS = "relaxed", "relaxed_pairs"  # tables


def keeping(
    run: RunDirectory | None, table: str, measures: tuple[Measure, ...], plans: Iterable[str], chunks: Sequence[Chunk]
) -> Kept[Reduced]:
    """What a directory keeps of these plans. Raises RunDirectoryError when a part of it is damaged."""
    names = tuple(measure.name for measure in measures)
    return kept_in(run, Form(table, "limit", partial(_rows, names), partial(_results, len(names))), plans, chunks)


def _rows(measures: Sequence[str], plan: str, replications: range, results: Sequence[Reduced]) -> list[RelaxedRow]:
    return [
        RelaxedRow(replication, plan, measure, value)
        for replication, values in zip(replications, results, strict=True)
        for measure, value in zip(measures, values, strict=True)
    ]


def _results(measures: int, rows: pd.DataFrame) -> list[Reduced]:
    return [tuple(values) for values in rows["value"].to_numpy().reshape(-1, measures).tolist()]


def play_with(
    done: Played,
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int = 0,
    workers: int | Cluster = 1,
    hear: Callable[[int], None] | None = None,
    kept: Kept[Reduced] | None = None,
) -> None:
    """Play these chunks of each plan and add them to what is done. What is kept already is not played again.

    `hear` is told of what is played. Ctrl-C comes through, and leaves what was done by then.
    """
    kept = kept or keeping(None, SINGLES, done.measures, plans, chunks)
    for plan, chunk, results in played(kept, plans, chunks, seed, workers, reduced_to(done.measures), hear):
        done.add(plan, chunk, results)
