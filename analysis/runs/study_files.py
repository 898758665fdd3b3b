"""What a study of a plan leaves on disk beside its manifest and summary: tables of its points as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from analysis.runs.run_directory import RunDirectory, write_text


def write_csv(run: RunDirectory, name: str, header: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """One of the tables, all of it or nothing; an hour beyond the horizon is `inf`."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([header, *rows])
    write_text(run, name, text.getvalue())
