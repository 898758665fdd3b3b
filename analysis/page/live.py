"""Dates of a run while it goes on: read from the parts that it leaves, each read once."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from datetime import datetime, timedelta
from math import isfinite
from pathlib import Path
from typing import Any

from analysis.statistics import QuantileEstimate, quantile_interval
from analysis.wording import BEYOND, MONTHS, NEVER

CHANCES = (0.1, 0.5, 0.9)
LAST = "all_on_production_h"
SHOWN = {"first_production_h": "First production", "all_on_production_h": "Every well on production"}


class LiveDates:
    """Hours of the milestones of a run, replication by replication, as far as it got."""

    def __init__(self, directory: Path) -> None:
        self._directory = directory
        self._parts: dict[Path, tuple[int, dict[str, list[float]]]] = {}
        self._hours: dict[str, list[float]] = {column: [] for column in SHOWN}
        self._dates: dict[str, Any] | None = None
        self._trace: list[list[Any]] = []
        self._reading = threading.Lock()

    def count(self) -> int:
        """Replications whose parts are on disk."""
        hours = self.hours()
        return len(hours["all_on_production_h"])

    def hours(self) -> dict[str, list[float]]:
        """Hours from the start by milestone."""
        with self._reading:
            before = {path: stamp for path, (stamp, _) in self._parts.items()}
            self._read()
            if before != {path: stamp for path, (stamp, _) in self._parts.items()}:
                parts = [hours for _, hours in self._parts.values()]
                self._hours = {column: [value for part in parts for value in part[column]] for column in SHOWN}
                self._dates = None
                self._trace = _trace(self._hours[LAST])
            return self._hours

    def _read(self) -> None:
        from analysis.runs.run_directory import RunDirectory, RunDirectoryError, read_parts

        found = RunDirectory(self._directory).parts("pads").values()
        self._parts = {path: known for path, known in self._parts.items() if path in set(found)}
        for path in found:
            try:
                stamp = path.stat().st_mtime_ns
                if self._parts.get(path, (0,))[0] != stamp:
                    frame = read_parts("pads", [path])
                    self._parts[path] = (stamp, {column: frame[column].tolist() for column in SHOWN})
            except (OSError, RunDirectoryError):
                continue  # being cleared or written; the next look sees it

    def dates(self, manifest: Mapping[str, Any]) -> dict[str, Any] | None:
        """P10, P50 and P90 with their intervals, as dates; None before anything is played."""
        hours = self.hours()
        if not hours["all_on_production_h"]:
            return None
        start = datetime.fromisoformat(str(manifest["scenario"]["start"]))
        known = self._dates
        if known is None:
            known = self._dates = {
                name: [_plain(quantile_interval(hours[column], chance), start) for chance in CHANCES]
                for column, name in SHOWN.items()
            }
        return known

    def trace(self) -> list[list[Any]]:
        """How P90 of the last well grew sure: replications, and the hours of it with its interval, low and high."""
        self.hours()
        return self._trace


def _trace(hours: list[float]) -> list[list[Any]]:
    """After 20 replications and every quarter more, up to what there is; without those that have no interval yet."""
    counts, n = [], 20
    while n < len(hours):
        counts.append(n)
        n = n + max(1, n // 4)
    counts += [len(hours)] if hours else []
    found = ((n, quantile_interval(hours[:n], 0.9)) for n in counts)
    known = ([n, each.low, each.value, each.high] for n, each in found if None not in (each.low_rank, each.high_rank))
    return [row for row in known if all(isfinite(value) for value in row)]


def _plain(found: QuantileEstimate, start: datetime) -> dict[str, Any]:
    low = found.low if found.low_rank is not None else None
    high = found.high if found.high_rank is not None else None
    return {"date": day_of(start, found.value), "low": day_of(start, low), "high": day_of(start, high),
            "hours": found.value if isfinite(found.value) else None}  # fmt: skip


def day_of(start: datetime, hours: float | None) -> str:
    """A date with its year; in words where there is none."""
    if hours is None:
        return "unknown"
    if not isfinite(hours):
        return BEYOND if hours > 0 else "unknown"
    try:
        moment = start + timedelta(hours=hours)
    except OverflowError:
        return NEVER
    return f"{moment.day} {MONTHS[moment.month - 1]} {moment.year}"
