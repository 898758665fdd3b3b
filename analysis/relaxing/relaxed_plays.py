"""Plans with limits lifted as they are played and kept, in one table for single limits and in one for pairs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from analysis.pricing.plan_costs import Amounts, PlanCosts, amounts_of
from analysis.relaxing.relax import Measure, Played, Reduced, RelaxedRow, reduced_to
from analysis.runs.kept_plays import Arriving, Form, Kept, kept_in, played
from sim.cluster import Cluster
from sim.log import Log
from sim.replications import Chunk
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory

SINGLES, PAIRS = "relaxed", "relaxed_pairs"  # tables


def keeping(
    run: RunDirectory | None, table: str, names: tuple[str, ...], plans: Iterable[str], chunks: Sequence[Chunk]
) -> Kept[Reduced]:
    """What a directory keeps of these measures of plans. Raises RunDirectoryError when a part of it is damaged."""
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
    stated: Scenario,
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int = 0,
    workers: int | Cluster = 1,
    hear: Callable[[int], None] | None = None,
    kept: Kept[Reduced] | None = None,
) -> None:
    """Play these chunks of each plan and add them to what is done. What is kept already is not played again.

    Days count from the start of the plan as `stated`.

    `hear` is told of what is played. Ctrl-C comes through, and leaves what was done by then.
    """
    kept = kept or keeping(None, SINGLES, done.names, plans, chunks)
    done.later |= {name: (plan.start - stated.start) / timedelta(days=1) for name, plan in plans.items()}
    for plan, chunk, results in _playing(done, plans, chunks, seed, workers, hear, kept):
        done.add(plan, chunk, results)


def _playing(
    done: Played,
    plans: Mapping[str, Scenario],
    chunks: Sequence[Chunk],
    seed: int,
    workers: int | Cluster,
    hear: Callable[[int], None] | None,
    kept: Kept[Reduced],
) -> Arriving[Reduced]:
    if not done.priced:
        return played(kept, plans, chunks, seed, workers, reduced_to(done.measures), hear)
    costs = {name: PlanCosts(plan) for name, plan in plans.items()}
    reduce = {name: partial(_with_amounts, done.measures, plan) for name, plan in plans.items()}

    def made(plan: str, found: tuple[Reduced, Amounts]) -> Reduced:
        return (*found[0], costs[plan].of(found[1]))

    return played(kept, plans, chunks, seed, workers, reduce, hear, made)


def _with_amounts(measures: tuple[Measure, ...], scenario: Scenario, log: Log) -> tuple[Reduced, Amounts]:
    return reduced_to(measures)(log), amounts_of(scenario, log)
