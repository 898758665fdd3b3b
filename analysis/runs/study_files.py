"""What a study of a plan leaves on disk: manifest, summary, tables of its points as CSV, pictures."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from analysis.runs.run_directory import FORMAT, MADE_BY, RunDirectory, create, scenario_hash, write_text
from sim.scenario import Document, stated
from sim.versions import versions


def begin(out: Path | None, overwrite: bool) -> RunDirectory | None:
    """A directory fit for a study, cleared of an earlier one; refused before anything is played."""
    return None if out is None else create(out, overwrite)


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
    write_text(run, name, text.getvalue())
