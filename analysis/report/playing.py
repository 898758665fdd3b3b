"""What a report plays beside the run it reads: the chain to the last well, and the plan's alternatives."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any, NamedTuple

from analysis.chains.chain import chain_to
from analysis.chains.chain_summary import WhereDaysGo, where_days_go
from analysis.comparing.plans import BASE
from analysis.comparing.verdict import Verdict, judge
from analysis.goals import ALL_ON_PRODUCTION, goal_of
from analysis.pad_measures import LAST_WELL
from analysis.report.content import Played
from analysis.report.plan_money import compare_with_money
from analysis.runs.finished_run import FinishedRun
from analysis.runs.stopping import NothingPlayedError
from sim.replications import replicate
from sim.scenario import load_stated
from sim.scenario.scenario import Scenario
from sim.scenario.written import as_written

NOBODYS_CHOICE = ("troubles", "trouble_factor", "weather", "uncertain", "prices", "fuel", "start", "horizon")
"""Sections of a plan that describe the world, not what is done in it."""

OF_AN_ALTERNATIVE = (
    "This run played the alternative '{name}'. Its report compares no strategies; that of the plan as stated does."
)
Told = Callable[[int], None]


class Asked(NamedTuple):
    """How often to play, in how many processes, and whether the alternatives too."""

    replications: int
    workers: int
    alternatives: bool


def alternatives_of(run: FinishedRun, asked: Asked) -> list[str]:
    """Names of the alternatives that the report will play."""
    if not asked.alternatives or run.manifest.get("alternative") is not None:
        return []
    return list(run.forecast.scenario.alternatives)


def plays_of(run: FinishedRun, asked: Asked) -> int:
    """How many replications that will take in all."""
    names = alternatives_of(run, asked)
    return asked.replications * (1 + (1 + len(names) if names else 0))


def play_for(run: FinishedRun, asked: Asked, on_progress: Told) -> Played:
    """Play it all under the seed of the run; what Ctrl-C cuts short is kept as far as it got."""
    where = _where(run, asked, on_progress)
    names, remarks = alternatives_of(run, asked), _why_not(run, asked)
    stopped = where is None or where.interrupted
    if stopped:
        remarks.append("The report was stopped while it was played: strategies are not compared.")
        names = []
    played = Played(asked.replications, where, remarks=tuple(remarks), stopped=stopped)
    return _with_strategies(played, run, names, asked, on_progress) if names else played


def _where(run: FinishedRun, asked: Asked, on_progress: Told) -> WhereDaysGo | None:
    scenario, seed = run.forecast.scenario, run.forecast.seed
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    chains = replicate(
        scenario,
        asked.replications,
        seed,
        asked.workers,
        partial(chain_to, goal),
        lambda _, found: on_progress(len(found)),
    ).results
    return where_days_go(scenario, goal, seed, asked.replications, chains) if chains else None


def _with_strategies(played: Played, run: FinishedRun, names: list[str], asked: Asked, on_progress: Told) -> Played:
    """All plans in one comparison, so that every one meets the same luck; then judged in two groups."""
    base = run.forecast.scenario
    plans = {_name_of_base(names): base} | {name: load_stated(run.manifest["scenario"], name) for name in names}
    try:
        compared, money = compare_with_money(plans, asked.replications, run.forecast.seed, asked.workers, on_progress)
    except NothingPlayedError:
        stopped = "The report was stopped before every alternative had been played: none is shown."
        return replace(played, remarks=(*played.remarks, stopped), stopped=True)
    chosen = [name for name in names if is_choice(base.alternatives[name])]
    others = [name for name in names if name not in chosen]

    def judged(some: Iterable[str]) -> Verdict | None:
        kept = [next(iter(plans)), *some]
        pads = {name: compared.pads[name] for name in kept}
        part = replace(compared, plans={name: plans[name] for name in kept}, pads=pads)
        return judge(part, LAST_WELL) if len(kept) > 1 else None

    changes = {name: _changes(base, name) for name in names}
    found = replace(played, choices=judged(chosen), what_if=judged(others), money=money, changes=changes)
    return replace(found, stopped=compared.interrupted)


def is_choice(patches: Mapping[str, Any]) -> bool:
    """Whether all that an alternative changes is somebody's to choose."""
    return not any(path.split(".")[0] in NOBODYS_CHOICE for path in patches)


def _changes(base: Scenario, name: str) -> str:
    """What an alternative changes, as it is stated."""
    return "; ".join(f"{path}: {as_written(value)}" for path, value in base.alternatives[name].items())


def _name_of_base(names: list[str]) -> str:
    name = BASE
    while name in names:
        name = f"{name} as stated"
    return name


def _why_not(run: FinishedRun, asked: Asked) -> list[str]:
    name = run.manifest.get("alternative")
    if name is not None:
        return [OF_AN_ALTERNATIVE.format(name=name)]
    if not run.forecast.scenario.alternatives:
        return ["The plan states no alternatives, so there is no strategy to compare it with."]
    return [] if asked.alternatives else ["The plan's alternatives were not played: --no-alternatives."]
