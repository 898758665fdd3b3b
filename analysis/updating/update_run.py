"""The update command from end to end: read plan and log, play on, show the answer, keep the history."""

from __future__ import annotations

import sys
from datetime import datetime
from math import isinf
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from rich.console import Console

from analysis.progress import Progress
from analysis.runs.run_directory import RunDirectoryError, scenario_hash
from analysis.updating.field_standing import standing_by
from analysis.updating.update import Update, dates, steps, update
from analysis.updating.update_answer import show
from analysis.updating.update_history import Entry, append, before, read_history
from analysis.updating.update_log import read_rows
from sim.activities import WATER
from sim.scenario import Document, Problem, ScenarioError, changed, load, read, stated, validate
from sim.scenario.document import Place, plain
from sim.scenario.quantities import VOLUME, parse
from sim.scenario.scenario import Scenario
from sim.scenario.yaml_text import read_yaml
from sim.standing import Standing


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    log: Path
    as_of: str
    columns: Path | None
    level: str | None
    patch: Path | None
    was: Path | None
    alternative: str | None
    replications: int
    seed: int
    workers: int
    out: Path | None


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    plan, document = load(order.file, order.alternative), read(order.file, order.alternative)
    was = None if order.was is None else load(order.was, order.alternative)
    patched = None if order.patch is None else validate(_patched(document, order.patch))
    as_of_h, levels = _as_of_h(order.as_of, plan), _levels(order.level, plan)
    read_so_far = read_rows(order.log, plan, _mapping(order.columns))
    since = standing_by(read_so_far.rows, plan, as_of_h, levels)
    history = read_history(order.out)
    _refuse_file(order.out)
    told = [*read_so_far.told, *_told(read_so_far.rows, as_of_h, history, document, order)]
    found = _played(order, was, plan, patched, since)
    if found is None:
        console.print("Stopped before all was played; nothing is kept.", style="bold")
        return False
    show(found, plan, as_of_h, before(history, as_of_h), told, order.replications, console)
    if order.out is not None:
        _keep(order.out, history, found, plan, as_of_h, _hash(document), console)
    return True


def _played(
    order: Order, was: Scenario | None, plan: Scenario, patched: Scenario | None, since: Standing
) -> Update | None:
    sequence = steps(was, plan, patched, since)
    with Progress(order.replications * len(sequence), sys.stderr) as progress:
        return update(sequence, order.replications, order.seed, order.workers, progress.advance)


def _patched(document: Document, patch: Path) -> Document:
    return changed(document, _mapping(patch).items(), Place(str(patch), 0))


def _mapping(file: Path | None) -> dict[str, Any]:
    """A flat YAML mapping."""
    if file is None:
        return {}
    root, problems = read_yaml(file)
    if problems:
        raise ScenarioError(problems)
    found = plain(root)
    if not isinstance(found, dict):
        raise ScenarioError([Problem(str(file), 1, "", "expected a mapping, one 'name: value' on each line")])
    return found


def _as_of_h(text: str, plan: Scenario) -> float:
    try:
        hours = plan.hours_at(datetime.fromisoformat(text))
    except (ValueError, TypeError):
        message = "not a local date and time; expected for example '2027-04-12 06:00'"
        raise ScenarioError([Problem("--as-of", 0, "", message, text)]) from None
    if not 0 <= hours < plan.horizon:
        first, last = plan.start, plan.moment_at(plan.horizon)
        message = f"expected a moment from the plan's start, {first}, to its horizon, {last}"
        raise ScenarioError([Problem("--as-of", 0, "", message, text)])
    return hours


def _levels(text: str | None, plan: Scenario) -> dict[str, float]:
    if text is None:
        return {}
    if plan.water is None:
        raise ScenarioError([Problem("--level", 0, "", "the plan states no water", text)])
    from pydantic_core import PydanticCustomError

    try:
        level = parse(text, VOLUME)
    except PydanticCustomError as error:
        raise ScenarioError([Problem("--level", 0, "", str(error.message()), text)]) from None
    if level > plan.water.storage.capacity:
        message = f"expected at most the capacity of the storage, {plan.water.storage.capacity:,.0f} bbl"
        raise ScenarioError([Problem("--level", 0, "", message, text)])
    return {WATER: level}


def _refuse_file(out: Path | None) -> None:
    if out is not None and out.exists() and not out.is_dir():
        raise RunDirectoryError(f"{out}: is not a directory; choose another place")


def _told(rows: list[Any], as_of_h: float, history: list[Entry], document: Document, order: Order) -> list[str]:
    later = sum(row.start_h >= as_of_h for row in rows)
    found = [f"{later} row{'s' * (later > 1)} of the log begin after that time and are not used"] if later else []
    if history and history[-1].plan != _hash(document) and order.was is None:
        found.append("the plan has changed since the last update: state the former with --was to see what that moved")
    return found


def _hash(document: Document) -> str:
    return scenario_hash(stated(document))


def _keep(
    out: Path, history: list[Entry], found: Update, plan: Scenario, as_of_h: float, hashed: str, console: Console
) -> None:
    original = Entry(0.0, _figures(found, found.original), hashed)
    now = Entry(as_of_h, _figures(found, found.now), hashed)
    entries = [now] if history or as_of_h == 0 else [original, now]
    append(out, entries)
    from analysis.updating.update_pictures import draw  # matplotlib, which an update without files does not need

    drawn = draw([*history, *entries], plan, out)
    console.print(f"\nIn {out}: forecasts.jsonl" + (", pictures of how the dates have moved." if drawn else "."))


def _figures(found: Update, hours: Any) -> dict[str, list[float | None]]:
    columns = zip(found.milestones, np.transpose(hours), strict=False)
    return {name: [None if isinf(each.value) else each.value for each in dates(column)] for name, column in columns}
