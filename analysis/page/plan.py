"""What the page knows of a plan: its text, its fields, and all that is wrong with it, in the command line's words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from analysis.page.edits import Edit, edited
from analysis.page.folder import Folder, NotAllowedError, Text
from analysis.page.form import sections_of, wells_of
from sim.scenario import Problem, Scenario, ScenarioError, load, read
from sim.scenario.document import Document
from sim.scenario.problems import SHOWN

MOST_EDITS = 20_000


def shown_plan(folder: Folder, name: str, text: Text) -> dict[str, Any]:
    """Everything the page shows of a plan. `sections` is None where the text cannot be read as a plan at all."""
    path = folder.there(name)
    scenario, problems = judged(path, text.text)
    document = _document(path, text.text)
    return {
        "name": name,
        "text": text.text,
        "version": text.version,
        "saved": text.saved,
        "problems": [_plain(problem) for problem in problems[:SHOWN]],
        "more_problems": max(0, len(problems) - SHOWN),
        "sections": None if document is None else sections_of(document, scenario, text.text),
        "wells": None if document is None else wells_of(document),
        "alternatives": [] if scenario is None else list(scenario.alternatives),
        **({} if scenario is None else _said(scenario)),
    }


def judged(path: Path, text: str) -> tuple[Scenario | None, tuple[Problem, ...]]:
    """The scenario that a text states, or all that is wrong with it."""
    try:
        return load(path, text=text, confined=True), ()
    except ScenarioError as error:
        return None, tuple(problem._replace(file=Path(problem.file).name) for problem in error.problems)


def _document(path: Path, text: str) -> Document | None:
    try:
        return read(path, text=text, confined=True)
    except ScenarioError:
        return None


def _plain(problem: Problem) -> dict[str, Any]:
    message = str(problem._replace(file="", line=0, where=""))
    return {"line": problem.line, "where": problem.where, "message": message, "text": str(problem)}


def _said(scenario: Scenario) -> dict[str, Any]:
    """What can be said of a valid plan without playing it."""
    from analysis.checking.averages import plan_of_averages
    from analysis.checking.warnings import warnings_of
    from analysis.wording import date_text, strategy_text

    averages = plan_of_averages(scenario)
    return {
        "title": scenario.title,
        "strategy": strategy_text(scenario),
        "warnings": warnings_of(scenario),
        "averages": date_text(scenario, max(averages.on_production_h.values())),
    }


def changed_text(folder: Folder, name: str, version: str, change: dict[str, Any]) -> Text:
    """The plan with a change made to its draft: a whole `text`, or `edits` of single values.

    Raises NotAllowedError where the plan is not what the change was made to, ScenarioError where an edit is no value.
    """
    now = folder.read(name)
    if version != now.version:
        raise NotAllowedError("the plan was changed elsewhere meanwhile, in another tab perhaps; it is shown anew")
    if isinstance(change.get("text"), str):
        return folder.keep(name, change["text"])
    return folder.keep(name, edited(now.text, _edits(change.get("edits"))))


def _edits(asked: Any) -> list[Edit]:
    if not isinstance(asked, list) or len(asked) > MOST_EDITS:
        raise NotAllowedError(f"expected a list of at most {MOST_EDITS:,} edits")
    return [_edit(each) for each in asked]


def _edit(asked: Any) -> Edit:
    steps = asked.get("steps") if isinstance(asked, dict) else None
    if not isinstance(steps, list) or not 0 < len(steps) < 20 or not all(type(each) in (str, int) for each in steps):
        raise NotAllowedError("expected steps to a value")
    text = asked.get("text", "")
    if not isinstance(text, str) or len(text) > 10_000:
        raise NotAllowedError("expected a value as text")
    return Edit(tuple(steps), text, asked.get("remove") is True)
