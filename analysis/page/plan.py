"""What the page knows of a plan: its text, its fields, and all that is wrong with it, in the command line's words."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

from analysis.page.edits import Edit
from analysis.page.folder import Folder, NotAllowedError, Text
from analysis.page.form import sections_of, wells_of
from analysis.page.live import day_of
from analysis.page.local_edits import edited_locally
from sim.scenario import Problem, Scenario, ScenarioError, read, validate, validate_all
from sim.scenario.document import Document
from sim.scenario.problems import SHOWN

MOST_EDITS, MOST_READ = 20_000, 6


class Readings:
    """The last few texts as they were read: each is asked for several times, and large ones take a while."""

    def __init__(self) -> None:
        self._known: dict[tuple[Path, str, float], Document] = {}
        self._reading = threading.Lock()

    def of(self, path: Path, text: str) -> Document:
        """The text as a plan that stands at `path`, its tables beside it. Raises ScenarioError where it is none."""
        key = (path, text, tables_stamp(path.parent))
        with self._reading:
            if key not in self._known:
                while len(self._known) >= MOST_READ:
                    self._known.pop(next(iter(self._known)))
                self._known[key] = read(path, text=text, confined=True)
            return self._known[key]


def tables_stamp(folder: Path) -> float:
    """Changes when a table in the folder does."""
    stamps = []
    for path in folder.glob("*.csv"):
        with suppress(OSError):
            stamps.append(path.stat().st_mtime)
    return sum(stamps)


def shown_plan(folder: Folder, name: str, text: Text, readings: Readings, *, whole: bool = True) -> dict[str, Any]:
    """Everything the page shows of a plan. `sections` is None where the text cannot be read as a plan at all.

    Without `whole` the alternatives are not looked at yet, nor what is said of a valid plan: `checked` is false then.
    """
    path = folder.there(name)
    document, problems = _read(path, text.text, readings)
    scenario = None
    if document is not None:
        scenario, problems = judged(document, whole=whole)
    found = _named(problems)
    return {
        "name": name,
        "title": _title(document),
        "text": text.text,
        "version": text.version,
        "saved": text.saved,
        "checked": whole or bool(problems),
        "problems": [_plain(problem) for problem in found[:SHOWN]],
        "more_problems": max(0, len(found) - SHOWN),
        "sections": None if document is None else sections_of(document, scenario, text.text),
        "wells": None if document is None else wells_of(document),
        "alternatives": [] if scenario is None else list(scenario.alternatives),
        "of_the_world": [] if scenario is None else _of_the_world(scenario),
        **({} if scenario is None or not whole else _said(scenario)),
    }


def _title(document: Document | None) -> str:
    node = None if document is None else document.root.value.get("title")
    return node.value if node is not None and isinstance(node.value, str) else ""


def _of_the_world(scenario: Scenario) -> list[str]:
    """Alternatives that change what nobody chooses, such as the weather."""
    from analysis.report.playing import is_choice

    return [name for name, patches in scenario.alternatives.items() if not is_choice(patches)]


def _read(path: Path, text: str, readings: Readings) -> tuple[Document | None, tuple[Problem, ...]]:
    try:
        return readings.of(path, text), ()
    except ScenarioError as error:
        return None, error.problems


def judged(document: Document, *, whole: bool = True) -> tuple[Scenario | None, tuple[Problem, ...]]:
    """The scenario that a plan states, or all that is wrong with it; its alternatives are looked at too if `whole`."""
    try:
        return (validate_all(document) if whole else validate(document)), ()
    except ScenarioError as error:
        return None, error.problems


def _named(problems: Sequence[Problem]) -> list[Problem]:
    """Problems by the name of their file alone."""
    return [problem._replace(file=Path(problem.file).name) for problem in problems]


def told(error: ScenarioError) -> str:
    """All that is wrong, a line each; where the plan lies is known to who has it open."""
    return str(ScenarioError(_named(error.problems)))


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
        "starts": day_of(scenario.start, 0.0),
        "stages": sum(well.stage_count for well in scenario.wells),
        "strategy": strategy_text(scenario),
        "warnings": warnings_of(scenario),
        "averages": date_text(scenario, max(averages.on_production_h.values())),
    }


def changed_text(folder: Folder, name: str, version: str, change: dict[str, Any], readings: Readings) -> Text:
    """The plan with a change made to its draft: a whole `text`, or `edits` of single values.

    Raises NotAllowedError where the plan is not what the change was made to, ScenarioError where an edit is no value.
    """
    now = folder.read(name)
    if version != now.version:
        raise NotAllowedError("the plan was changed elsewhere meanwhile, in another tab perhaps; it is shown anew")
    if isinstance(change.get("text"), str):
        return folder.keep(name, change["text"])
    path = folder.there(name)
    return folder.keep(name, edited_locally(now.text, _edits(change.get("edits")), partial(readings.of, path)))


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
