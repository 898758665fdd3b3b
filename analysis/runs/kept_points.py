"""Dates that a study plays for, kept point by point: when each replication of each plan reached a milestone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from analysis.runs.kept_plays import Form, Kept, kept_in
from analysis.runs.point_rows import PointRow
from sim.replications import Chunk

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory


def keeping(run: RunDirectory | None, table: str, plans: Iterable[str], chunks: Sequence[Chunk]) -> Kept[float]:
    """What a directory keeps in one of these tables. Raises RunDirectoryError when a part of it is damaged."""
    return kept_in(run, Form(table, "plan", _rows, _results), plans, chunks)


def _rows(plan: str, replications: range, results: Sequence[float]) -> list[PointRow]:
    return [PointRow(number, plan, hours) for number, hours in zip(replications, results, strict=True)]


def _results(rows: pd.DataFrame) -> list[float]:
    return [float(hours) for hours in rows["reached_h"]]
