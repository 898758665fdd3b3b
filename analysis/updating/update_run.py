"""The update command from end to end: read plan and log, play on, show the answer, keep the history."""

from __future__ import annotations

import sys
from math import isinf
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from rich.console import Console

from analysis.cautions import SHORT
from analysis.field.calibration import Calibration, calibrate
from analysis.field.calibration_answer import read_sentence, show_findings
from analysis.field.reading import FieldLog, read_log, up_to
from analysis.field.times import moment_h
from analysis.progress import Progress
from analysis.runs.run_directory import RunDirectoryError, scenario_hash
from analysis.updating.drawn_pace import plans_at_pace
from analysis.updating.field_standing import implied_by, standing_by
from analysis.updating.levels import told_levels
from analysis.updating.log_notes import not_told, notes
from analysis.updating.pace_answer import pace_sentence
from analysis.updating.pad_state import unit_states, well_states
from analysis.updating.state_answer import show_state
from analysis.updating.update import Update, dates, steps, update
from analysis.updating.update_answer import Compared, show_answer, show_dates
from analysis.updating.update_history import Entry, append, before, keep_original, original_plan, read_history
from analysis.wording import tell
from sim.pad import StuckError
from sim.scenario import Document, Problem, Scenario, ScenarioError, load, load_stated, read, stated
from sim.standing import Standing


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    log: Path
    as_of: str
    columns: Path | None
    strict: bool
    levels: tuple[str, ...]
    patch: Path | None
    as_planned: bool
    prior_weight: float
    was: Path | None
    alternative: str | None
    replications: int
    seed: int
    workers: int
    out: Path | None

    @property
    def played(self) -> tuple[int, int]:
        """Replications and seed."""
        return self.replications, self.seed


class Found(NamedTuple):
    """Everything that is known before anything is played. `known` is the log as it was known at the moment."""

    plan: Scenario
    document: Document
    was: Scenario | None
    log: FieldLog
    known: FieldLog
    since: Standing
    told: dict[str, float]
    shown: Calibration | None
    at_pace: tuple[Scenario, ...]
    history: list[Entry]


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    found = _prepared(order)
    played = _played(order, found)
    if played is None:
        console.print("Stopped before all was played; nothing is kept.", style="bold")
        return False
    _show(order, found, played, console)
    if order.out is not None:
        _keep(order, order.out, found, played, console)
    return True


def _prepared(order: Order) -> Found:
    plan, document = load(order.file, order.alternative), read(order.file, order.alternative)
    patched = None if order.patch is None else load(order.file, order.alternative, order.patch)
    if patched is not None and patched.start != plan.start:
        said = f"moves the start from {plan.start}, and with it every hour of the log; expected a patch of durations"
        raise ScenarioError([Problem(str(order.patch), 0, "start", said, str(patched.start))])
    history = read_history(order.out, plan)
    _refuse_file(order.out)
    was = _was(order, document)
    told = told_levels(order.levels, plan)
    log = read_log(order.log, plan, order.columns, strict=order.strict, may_be_empty=True)
    as_of_h = _as_of_h(order.as_of, log, plan)
    known = up_to(log, as_of_h)
    since = standing_by(known, plan, as_of_h, told)
    by_log = not order.as_planned and patched is None and not known.rows.empty
    shown = calibrate(known, plan, document, order.prior_weight) if by_log else None
    at_pace: tuple[Scenario, ...] = (patched,) if patched is not None else ()
    if shown is not None:
        at_pace = plans_at_pace(shown, document, plan, order.replications, order.seed)
    return Found(plan, document, was, log, known, since, told, shown, at_pace, history)


def _was(order: Order, document: Document) -> Scenario | None:
    """The plan before its scope was changed: as stated, or the original one that was kept, if it was another."""
    if order.was is not None:
        return load(order.was, order.alternative)
    original = original_plan(order.out)
    if original is None or scenario_hash(original) == _hash(document):
        return None
    return load_stated(original)


def _as_of_h(text: str, log: FieldLog, plan: Scenario) -> float:
    assert log.clock is not None
    hours, fault = moment_h(text, log.clock)
    if not fault and not 0 <= hours < plan.horizon:
        first, last = plan.start, plan.moment_at(plan.horizon)
        fault = f"expected a moment from the plan's start, {first}, to its horizon, {last}"
    if fault:
        raise ScenarioError([Problem("--as-of", 0, "", fault, text)])
    return hours


def _refuse_file(out: Path | None) -> None:
    if out is not None and out.exists() and not out.is_dir():
        raise RunDirectoryError(f"{out}: is not a directory; choose another place")


def _played(order: Order, found: Found) -> Update | None:
    """Play it. Raises ScenarioError where nobody can go on from where the log leaves the pad.

    A log can be at odds with itself and with the plan in more ways than anybody foresees.
    """
    sequence = steps(found.was, found.plan, found.at_pace, found.since)
    try:
        with Progress(order.replications * len(sequence), sys.stderr) as progress:
            return update(sequence, order.replications, order.seed, order.workers, progress.advance)
    except (StuckError, LookupError, ValueError, RuntimeError) as error:
        if not found.since.rows:
            raise
        raise _at_odds(order, found, error) from error


def _at_odds(order: Order, found: Found, error: Exception) -> ScenarioError:
    file, left_out = str(order.log), [each for each in found.log.findings if each.left_out]
    why = str(error) if isinstance(error, StuckError) else "its rows contradict one another"
    message = (
        f"the plan cannot be played on from where this log leaves the pad at {order.as_of}: {why}; expected work in "
        "the order of the plan, so see what was left out, or change the plan to what was done"
    )
    return ScenarioError([Problem(file, 0, "", message), *(each.problem(file) for each in left_out)])


def _show(order: Order, found: Found, played: Update, console: Console) -> None:
    as_of_h = found.since.as_of_h
    it = Compared(played, found.plan, as_of_h, before(found.history, as_of_h), order.played)
    show_answer(it, console)
    tell(console, read_sentence(found.log))
    implied = implied_by(found.known, found.plan, as_of_h)
    for text in notes(found.log, found.known, implied, found.plan, found.since):
        tell(console, f"Note: {text}.", hanging="  ")
    wells, units = well_states(found.known, found.plan, found.since), unit_states(found.plan, found.since)
    show_state(wells, units, played, found.told, found.plan, as_of_h, console)
    show_dates(it, console)
    console.print()
    tell(console, pace_sentence(found.shown, order.patch))
    if as_of_h > 0 and not_told(found.plan, found.told):
        tell(
            console, f"No log tells, in brackets what is taken instead: {'; '.join(not_told(found.plan, found.told))}."
        )
    show_findings(found.log, console)
    console.print()
    tell(console, SHORT, style="dim")


def _hash(document: Document) -> str:
    return scenario_hash(stated(document))


def _keep(order: Order, out: Path, found: Found, played: Update, console: Console) -> None:
    hashed, as_of_h = _hash(found.document), found.since.as_of_h
    original_h = found.plan.hours_at((found.was or found.plan).start)
    original = Entry(original_h, _figures(played, played.original), hashed, {}, order.played)
    terms = {name: {term.name: term.days.mean for term in moved} for name, moved in played.terms.items()}
    now = Entry(as_of_h, _figures(played, played.now), hashed, terms, order.played)
    entries = [now] if found.history or as_of_h == 0 else [original, now]
    keep_original(out, stated(read(order.was, order.alternative) if order.was is not None else found.document))
    append(out, entries, found.plan)
    from analysis.updating.update_pictures import draw  # matplotlib, which an update without files does not need

    drawn = draw([*found.history, *entries], found.plan, out)
    console.print(f"\nIn {out}: forecasts.jsonl" + (", pictures of how the dates have moved." if drawn else "."))


def _figures(found: Update, hours: Any) -> dict[str, list[float | None]]:
    columns = zip(found.milestones, np.transpose(hours), strict=False)
    return {name: [None if isinf(each.value) else each.value for each in dates(column)] for name, column in columns}
