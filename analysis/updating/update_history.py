"""The forecasts of a pad so far: a line of JSON for each, appended to one small file and never changed."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any, NamedTuple

from analysis.runs.run_directory import RunDirectoryError

NAME = "forecasts.jsonl"


class Entry(NamedTuple):
    """A forecast: as of when, and P10, P50 and P90 of each milestone, all in hours from the start; None: beyond."""

    as_of_h: float
    milestones: dict[str, list[float | None]]
    plan: str  # hash of the plan


def read_history(folder: Path | None) -> list[Entry]:
    """The forecasts kept in a folder, in the order in which they were made; none where there is no file yet.

    Raises RunDirectoryError where the file is not what it should be.
    """
    path = folder / NAME if folder is not None else None
    if path is None or not path.exists():
        return []
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise RunDirectoryError(f"{path}: cannot be read: {error}") from error
    return [_entry(path, number, line) for number, line in enumerate(lines, start=1) if line.strip()]


def _entry(path: Path, number: int, line: str) -> Entry:
    try:
        read: dict[str, Any] = json.loads(line)
        return Entry(float(read["as_of_h"]), dict(read["milestones"]), str(read["plan"]))
    except (ValueError, KeyError, TypeError):
        raise RunDirectoryError(f"{path}:{number}: not a forecast of ours; move the file away to begin anew") from None


def append(folder: Path, entries: list[Entry]) -> None:
    """Add forecasts at the end, all of them or none. Raises RunDirectoryError."""
    path = folder / NAME
    text = "".join(json.dumps(entry._asdict()) + "\n" for entry in entries)
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
