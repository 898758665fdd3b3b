"""What a study of a plan leaves on disk: manifest, summary, tables of its points as CSV, pictures."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from analysis.run_directory import FORMAT, MADE_BY, RunDirectory, RunDirectoryError, create, scenario_hash, versions
from sim.scenario import Document, stated

TABLES = ("points.csv", "effects.csv", "candidates.csv")


def begin(out: Path | None, overwrite: bool) -> RunDirectory | None:
    """A directory fit for a study, cleared of an earlier one; refused before anything is played."""
    if out is None:
        return None
    run = create(out, overwrite)
    for name in TABLES:
        with suppress(FileNotFoundError):
            (run.path / name).unlink()
    return run


def manifest_of(document: Document, study: str, asked: dict[str, Any]) -> dict[str, Any]:
    """What the study is: everything on which its numbers depend."""
    plan = stated(document)
    return {
        "made_by": MADE_BY,
        "format": FORMAT,
        "study": study,
        "scenario_hash": scenario_hash(plan),
        **asked,
        "versions": versions(),
        "scenario": plan,
    }


def write_csv(run: RunDirectory, name: str, header: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """One of the tables, all of it or nothing; an hour beyond the horizon is `inf`."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([header, *rows])
    path = run.path / name
    unfinished = path.with_name(f"{name}.tmp")
    try:
        unfinished.write_text(text.getvalue(), encoding="utf-8")
        os.replace(unfinished, path)
    except OSError as error:
        raise RunDirectoryError(f"{path}: cannot be written: {error.strerror or error}") from error
