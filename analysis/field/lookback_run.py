"""The lookback command from end to end: read, play the plan, compare, show, leave the files."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import datetime
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from analysis.field.calibration_run import write
from analysis.field.lookback import Hourly, Lookback, look_back
from analysis.field.lookback_answer import NAMES, show
from analysis.field.milestones import Milestone
from analysis.field.played import play
from analysis.field.reading import read_log
from analysis.forecasting.exports import no_formula
from analysis.runs.stopping import NothingPlayedError
from analysis.wording import full_date
from sim.scenario import load
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import Scenario


class LookbackOrder(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    patch: Path | None
    log: Path
    columns: Path | None
    strict: bool
    replications: int
    seed: int
    workers: int
    out: Path | None


def carry_out(order: LookbackOrder, console: Console) -> bool:
    """Do it. Says whether all was played that was asked for."""
    scenario = load(order.file, order.alternative, order.patch)
    _refuse_occupied(order.out)
    log = read_log(order.log, scenario, order.columns, strict=order.strict)
    plays = play(scenario, order.replications, order.seed, order.workers, log.until_h)
    if not plays.n:
        raise NothingPlayedError("stopped before the first replications were done")
    found = look_back(log, scenario, plays)
    show(found, log, scenario, console)
    if plays.n < plays.asked:
        console.print(f"Stopped: {plays.n} of {plays.asked} replications were done.", style="bold")
    if order.out is not None:
        _leave_files(found, scenario, order.out)
        console.print(f"\nIn {order.out}: milestones.csv, hours.csv, pictures.")
    return plays.n == plays.asked


def _refuse_occupied(out: Path | None) -> None:
    if out is not None and out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise ScenarioError([Problem(str(out), 0, "", "is not an empty directory; choose another place")])


def _leave_files(found: Lookback, scenario: Scenario, out: Path) -> None:
    from analysis.figures import theme  # matplotlib, which the tables alone do not need
    from analysis.figures.reached import reached
    from analysis.figures.reliability import CHANCES, reliability

    write(out / "milestones.csv", milestones_csv(found, scenario))
    write(out / "hours.csv", hours_csv(found))
    if found.milestones:
        start: datetime = scenario.start
        ax = reached(found.milestones, NAMES, start, found.until_h, title=f"{scenario.title}: forecast and field")
        theme.save(theme.settle(ax), out / "milestones")
        met = [found.done_by(chance) for chance in CHANCES]
        ax = reliability(met, title=f"{scenario.title}: how far dates came true")
        theme.save(theme.settle(ax), out / "reliability")


def milestones_csv(found: Lookback, scenario: Scenario) -> str:
    """One line for each milestone reached, or not reached by its P10; what is not reached has no date and no place."""
    headings = [
        *("well", "milestone", "field", "field hours", "P10 hours", "P50 hours", "P90 hours"),
        *("place", "inside", "P90 past"),
    ]
    return _csv([headings, *(_cells(each, scenario) for each in found.milestones)])


def _cells(each: Milestone, scenario: Scenario) -> list[object]:
    field = (full_date(scenario, each.actual_h), each.actual_h) if each.reached else ("not yet", "")
    return [
        *(no_formula(each.well), NAMES[each.milestone], *field),
        *(each.p10_h, each.p50_h, each.p90_h, each.place if each.reached else ""),
        "yes" if each.inside else "no" if each.outside else "",
        "yes" if each.is_due(0.9) else "no",
    ]


def hours_csv(found: Lookback) -> str:
    """One line for each activity, unit and cause."""
    headings = ["by", "name", "jobs", "plan mean hours", "plan P10 hours", "plan P90 hours", "field hours"]
    groups: dict[str, tuple[Hourly, ...]] = {
        "activity": found.activities, "unit, work": found.units, "cause, lost": found.causes
    }  # fmt: skip
    rows = [
        [by, no_formula(each.name), each.n or "", each.plan_h, each.low_h, each.high_h, each.actual_h]
        for by, group in groups.items()
        for each in group
    ]
    return _csv([headings, *rows])


def _csv(rows: Iterable[Iterable[object]]) -> str:
    text = StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()
