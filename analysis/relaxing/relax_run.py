"""The relax command from end to end: load, refuse what cannot work, play, show what would buy a week, leave files."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from rich.console import Console

from analysis.forecasting.forecast import NothingPlayedError, to_its_end
from analysis.goals import Goal, goal_of
from analysis.progress import Progress
from analysis.relaxing.limits import Limit
from analysis.relaxing.relax import AS_STATED, Measure, Played, Reduced, RelaxedRow, days_to, played_with, unreached
from analysis.relaxing.relax_terminal import show_savings
from analysis.relaxing.relaxed_plans import lifted, limits_asked, plans_of
from analysis.relaxing.savings import Pair, Savings, pair_name, pair_of, ranked, savings_of, worth_pairing
from sim.replications import chunks_of
from sim.scenario import Document, Scenario, ScenarioError, load, read, stated

if TYPE_CHECKING:
    from analysis.runs.run_directory import RunDirectory


class RelaxOrder(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    milestone: str
    also: tuple[str, ...]
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool


class _Work(NamedTuple):
    """What is played: the plan, its limits, and where parts go. Parts are numbered plan by plan."""

    order: RelaxOrder
    document: Document
    scenario: Scenario
    goal: Goal
    limits: list[Limit]
    played: Played
    run: RunDirectory | None


def carry_out_relax(order: RelaxOrder, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative)
    goal, document = goal_of(scenario, order.milestone), read(order.file, order.alternative)
    limits = limits_asked(scenario, document, order.also)
    plans, refused = plans_of(document, limits, len(order.also))
    run, manifest = _directory(order, goal, document, list(plans))
    measures: tuple[Measure, ...] = (days_to(goal), unreached(goal))
    work = _Work(order, document, scenario, goal, limits, Played(measures), run)
    whole = _play(work, {AS_STATED: scenario, **plans}, 0)
    if not len(work.played.of(AS_STATED, measures[0].name)):
        raise NothingPlayedError("stopped before the first replications were done")
    singles = ranked(work.played, goal, [name for name in plans if len(work.played.gains(name, measures[0].name))])
    whole, pairs = _play_pairs(work, singles, 1 + len(plans)) if whole else (False, ())
    savings = savings_of(scenario, goal, order.seed, order.replications, work.played, singles, pairs, refused)
    show_savings(savings, console)
    if not whole:
        console.print("Stopped: what is shown stands on the replications done by then.", style="bold")
    if run is not None:
        _leave_files(run, manifest, savings)
        drawn = ", pictures" if run.pictures.is_dir() else ""
        console.print(f"\nIn {run.path}: summary.json, manifest.json, tables{drawn}.")
    return whole


def _play(work: _Work, plans: Mapping[str, Scenario], first_part: int) -> bool:
    """Play plans beside those played before. Says whether all was played, and not stopped by Ctrl-C."""
    order, names = work.order, list(plans)
    chunks = len(chunks_of(order.replications))
    try:
        with Progress(order.replications * len(plans), sys.stderr) as progress:
            for name, chunk, results in played_with(work.played, plans, order.replications, order.seed, order.workers):
                if work.run is not None:
                    with to_its_end():
                        _write(work, first_part + names.index(name) * chunks + chunk, name, chunk, results)
                progress.advance(len(results))
    except KeyboardInterrupt:
        return False
    return True


def _write(work: _Work, part: int, name: str, chunk: int, results: list[Reduced]) -> None:
    from analysis.runs.run_directory import write_part

    assert work.run is not None
    _, replications = chunks_of(work.order.replications)[chunk]
    rows = [
        RelaxedRow(replication, name, measure.name, value)
        for replication, values in zip(replications, results, strict=True)
        for measure, value in zip(work.played.measures, values, strict=True)
    ]
    write_part(work.run, "relaxed", part, rows)


def _play_pairs(work: _Work, singles: Any, plans_before: int) -> tuple[bool, tuple[Pair, ...]]:
    """Play the largest two at a time; a pair that makes no valid plan is left out."""
    by_name = {limit.name: limit for limit in work.limits}
    pairs = worth_pairing(singles, [limit.name for limit in work.limits if limit.is_sum])
    plans: dict[str, Scenario] = {}
    for one, other in pairs:
        try:
            plans[pair_name(one, other)] = lifted(work.document, [by_name[one], by_name[other]])
        except ScenarioError:
            continue
    first_part = plans_before * len(chunks_of(work.order.replications))
    if not plans or not _play(work, plans, first_part):
        return not plans, ()
    return True, tuple(pair_of(work.played, work.goal, *pair) for pair in pairs if pair_name(*pair) in plans)


def _directory(
    order: RelaxOrder, goal: Goal, document: Document, limits: list[str]
) -> tuple[RunDirectory | None, dict[str, Any]]:
    """The run directory if one is asked for, and what the run is; the file may be changed while it goes on."""
    if order.out is None:
        return None, {}
    from analysis.runs.run_directory import create, write_manifest
    from analysis.runs.run_manifest import manifest_of

    asked = {
        "alternative": order.alternative,
        "milestone": goal.name,
        "also": list(order.also),
        "plans": [AS_STATED, *limits],
    }
    manifest = manifest_of("relax", stated(document), order.seed, order.replications, asked)
    run = create(order.out, order.overwrite)
    write_manifest(run, manifest)
    return run, manifest


def _leave_files(run: RunDirectory, manifest: dict[str, Any], savings: Savings) -> None:
    from analysis.relaxing.relax_exports import savings_summary_of
    from analysis.relaxing.relax_pictures import draw_savings  # matplotlib, which the terminal does not need
    from analysis.runs.run_directory import write_manifest, write_summary

    write_summary(run, savings_summary_of(savings))
    draw_savings(savings, run.pictures)
    write_manifest(run, manifest | {"replications_done": savings.played})
