"""The relax command from end to end: load, refuse what cannot work, play, show what would buy a week, leave files."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.goals import Goal, goal_of
from analysis.progress import Progress
from analysis.relaxing.limits import Limit
from analysis.relaxing.relax import AS_STATED, Measure, Played, days_to, unreached
from analysis.relaxing.relax_terminal import show_savings
from analysis.relaxing.relaxed_plans import Refused, lifted, limits_asked, plans_of
from analysis.relaxing.relaxed_plays import PAIRS, SINGLES, keeping, play_with
from analysis.relaxing.savings import Pair, Saving, Savings, pair_name, pair_of, ranked, savings_of, worth_pairing
from analysis.runs.kept_plays import parts_of
from analysis.runs.run_directory import RunDirectory, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import GO_ON, Tables, opened_if, say_what_is_there
from analysis.runs.stopping import NothingPlayedError
from sim.replications import Chunk, chunks_of
from sim.scenario import Document, Scenario, ScenarioError, load, read, stated


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
    resume: bool = False


class _Work(NamedTuple):
    """What is played: the plan, its limits, and where it is kept."""

    order: RelaxOrder
    document: Document
    scenario: Scenario
    goal: Goal
    limits: list[Limit]
    played: Played
    run: RunDirectory | None

    @property
    def chunks(self) -> list[Chunk]:
        """The chunks of every plan."""
        return chunks_of(self.order.replications)


def carry_out_relax(order: RelaxOrder, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative)
    goal, document = goal_of(scenario, order.milestone), read(order.file, order.alternative)
    limits = limits_asked(scenario, document, order.also)
    plans, refused = plans_of(document, limits, len(order.also))
    plans = {AS_STATED: scenario, **plans}
    manifest = _manifest(order, goal, document, list(plans))
    tables = Tables((SINGLES,), parts_of(list(plans), chunks_of(order.replications)), a_number=(PAIRS,))
    measures: tuple[Measure, ...] = (days_to(goal), unreached(goal))
    with opened_if(order.out, manifest, order.overwrite, order.resume, tables) as run:
        work = _Work(order, document, scenario, goal, limits, Played(measures, scenario.prices is not None), run)
        whole, savings = _answered(work, plans, refused)
        show_savings(savings, console)
        if not whole:
            console.print("Stopped: what is shown stands on the replications done by then.", style="bold")
        if run is not None:
            _leave_files(run, manifest, savings)
            drawn = ", pictures" if run.pictures.is_dir() else ""
            console.print(f"\nIn {run.path}: summary.json, manifest.json, tables{drawn}.")
            if not whole:
                console.print(GO_ON)
    return whole


def _answered(work: _Work, plans: Mapping[str, Scenario], refused: list[Refused]) -> tuple[bool, Savings]:
    """Whether all was played, and what it says."""
    order, days = work.order, work.played.measures[0].name
    whole = _play(work, plans, SINGLES)
    if not len(work.played.of(AS_STATED, days)):
        raise NothingPlayedError("stopped before the first replications were done")
    lifted_ones = [name for name in plans if name != AS_STATED and len(work.played.gains(name, days))]
    singles = ranked(work.played, work.goal, lifted_ones)
    whole, pairs = _play_pairs(work, singles) if whole else (False, ())
    asked = (order.seed, order.replications)
    return whole, savings_of(work.scenario, work.goal, *asked, work.played, singles, pairs, refused)


def _play(work: _Work, plans: Mapping[str, Scenario], table: str) -> bool:
    """Play plans beside those played before. Says whether all was played, and not stopped by Ctrl-C."""
    order = work.order
    kept = keeping(work.run, table, work.played.names, plans, work.chunks)
    there, total = kept.count(plans, work.chunks), order.replications * len(plans)
    say_what_is_there(work.run, there, total)
    try:
        with Progress(total, sys.stderr, there) as progress:
            play_with(work.played, work.scenario, plans, work.chunks, order.seed, order.workers, progress.advance, kept)
    except KeyboardInterrupt:
        return False
    return True


def _play_pairs(work: _Work, singles: tuple[Saving, ...]) -> tuple[bool, tuple[Pair, ...]]:
    """Play the largest two at a time; a pair that makes no valid plan is left out."""
    by_name = {limit.name: limit for limit in work.limits}
    pairs = worth_pairing(singles, [limit.name for limit in work.limits if limit.is_sum])
    plans: dict[str, Scenario] = {}
    for one, other in pairs:
        try:
            plans[pair_name(one, other)] = lifted(work.document, [by_name[one], by_name[other]])
        except ScenarioError:
            continue
    if not plans or not _play(work, plans, PAIRS):
        return not plans, ()
    return True, tuple(pair_of(work.played, work.goal, *pair) for pair in pairs if pair_name(*pair) in plans)


def _manifest(order: RelaxOrder, goal: Goal, document: Document, plans: list[str]) -> dict[str, Any]:
    """What the run is, before anything is played; the file may be changed while it goes on."""
    asked = {"alternative": order.alternative, "milestone": goal.name, "also": list(order.also), "plans": plans}
    return manifest_of("relax", stated(document), order.seed, order.replications, asked)


def _leave_files(run: RunDirectory, manifest: dict[str, Any], savings: Savings) -> None:
    from analysis.relaxing.relax_exports import savings_summary_of
    from analysis.relaxing.relax_pictures import draw_savings  # matplotlib, which the terminal does not need

    write_summary(run, savings_summary_of(savings))
    draw_savings(savings, run.pictures)
    write_manifest(run, manifest | {"replications_done": savings.played})
