"""The forecasts of a pad so far: a line of JSON for each, appended to one small file and never changed.

Beside it lies the plan as it was at the first of them, so that what was changed since can be told apart.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from analysis.runs.run_directory import RunDirectoryError
from analysis.runs.whole_files import write_whole
from sim.scenario.scenario import Scenario

NAME = "forecasts.jsonl"
ORIGINAL = "original_plan.json"


class Entry(NamedTuple):
    """A forecast: as of when, and P10, P50 and P90 of each milestone; None: beyond the horizon.

    All in hours from the start of the plan as it is now; the file has moments, which stay when the plan's start moves.
    `terms` are the days by which each change had moved the mean date of a milestone since the original plan, and
    `played` says with how many replications and which seed: only between equal ones do differences of terms hold.
    """

    as_of_h: float
    milestones: dict[str, list[float | None]]
    plan: str  # hash of the plan
    terms: Mapping[str, Mapping[str, float]] = {}
    played: tuple[int, int] = (0, 0)


def read_history(folder: Path | None, plan: Scenario) -> list[Entry]:
    """The forecasts kept in a folder, in the order in which they were made; none where there is no file yet.

    Lines of older versions hold hours, and are taken to count from the start of this plan.
    Raises RunDirectoryError where the file is not what it should be.
    """
    path = folder / NAME if folder is not None else None
    if path is None or not path.exists():
        return []
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise RunDirectoryError(f"{path}: cannot be read: {error}") from error
    return [_entry(path, number, line, plan) for number, line in enumerate(lines, start=1) if line.strip()]


def _entry(path: Path, number: int, line: str, plan: Scenario) -> Entry:
    try:
        read = _in_hours(json.loads(line), plan)
        terms = {str(name): dict(days) for name, days in read.get("terms", {}).items()}
        n, seed = read.get("played", (0, 0))
        return Entry(float(read["as_of_h"]), dict(read["milestones"]), str(read["plan"]), terms, (int(n), int(seed)))
    except (ValueError, KeyError, TypeError, AttributeError):
        raise RunDirectoryError(f"{path}:{number}: not a forecast of ours; move the file away to begin anew") from None


def _in_hours(read: dict[str, Any], plan: Scenario) -> dict[str, Any]:
    if "as_of_h" in read:
        return read
    dates = {
        name: [None if moment is None else plan.hours_at(datetime.fromisoformat(moment)) for moment in moments]
        for name, moments in read["milestones"].items()
    }
    return read | {"as_of_h": plan.hours_at(datetime.fromisoformat(read["as_of"])), "milestones": dates}


def _in_moments(entry: Entry, plan: Scenario) -> dict[str, Any]:
    dates = {name: [_moment(plan, hours) for hours in found] for name, found in entry.milestones.items()}
    kept = entry._asdict() | {"milestones": dates}
    del kept["as_of_h"]
    return {"as_of": _moment(plan, entry.as_of_h), **kept}


def _moment(plan: Scenario, hours: float | None) -> str | None:
    """Local date and time as ISO 8601; None where no calendar has one."""
    try:
        return None if hours is None else plan.moment_at(hours).isoformat()
    except OverflowError:
        return None


def append(folder: Path, entries: list[Entry], plan: Scenario) -> None:
    """Add forecasts at the end, all of them or none. Raises RunDirectoryError."""
    path = folder / NAME
    text = "".join(json.dumps(_in_moments(entry, plan)) + "\n" for entry in entries)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with path.open("a", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise RunDirectoryError(f"{path}: cannot be written: {error.strerror or error}") from error


def before(history: list[Entry], as_of_h: float) -> Entry | None:
    """The last forecast made of an earlier moment."""
    earlier = [entry for entry in history if entry.as_of_h < as_of_h]
    return max(earlier, key=lambda entry: entry.as_of_h) if earlier else None


def keep_original(folder: Path, stated: Mapping[str, Any]) -> None:
    """Keep the plan as it is stated, unless one is there. Raises RunDirectoryError."""
    path = folder / ORIGINAL
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            write_whole(path, json.dumps(stated, indent=1).encode())
    except OSError as error:
        raise RunDirectoryError(f"{path}: cannot be written: {error.strerror or error}") from error


def original_plan(folder: Path | None) -> Mapping[str, Any] | None:
    """The plan as it was at the first forecast; None where none is kept. Raises RunDirectoryError."""
    path = folder / ORIGINAL if folder is not None else None
    if path is None or not path.exists():
        return None
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise RunDirectoryError(f"{path}: cannot be read: {error}") from error
    if not isinstance(found, dict):
        raise RunDirectoryError(f"{path}: not a plan; move the file away to do without the original")
    return found
