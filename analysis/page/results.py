"""What a finished run says, fit for a page: the very tables that the command line leaves, and curves of all dates."""

from __future__ import annotations

import json
from datetime import datetime
from math import isfinite
from pathlib import Path
from typing import Any

from analysis.cautions import SHORT
from analysis.page.folder import NotAllowedError
from analysis.page.live import SHOWN, day_of
from analysis.wording import CONVENTION

MOST_POINTS = 200


def results_of(directory: Path, hours: dict[str, list[float]], files: list[str]) -> dict[str, Any]:
    """The summary of a run with its curves. Raises NotAllowedError where there is none yet."""
    try:
        summary = json.loads((directory / "summary.json").read_bytes())
    except (OSError, ValueError) as error:
        raise NotAllowedError("this run has no result yet: it is still being played, or was stopped early") from error
    start = datetime.fromisoformat(summary["start"])
    return {
        "answer": summary["answer"],
        "title": summary["title"],
        "start": summary["start"],
        "replications": summary["replications"],
        "convention": CONVENTION,
        "pad": {name: _row(each, start) for name, each in summary["pad"].items()},
        "wells": {
            well: {name: _row(each, start) for name, each in found.items()} for well, found in summary["wells"].items()
        },
        "curves": {name: curve(hours[column]) for column, name in SHOWN.items()},
        "units": {
            unit: [(share["kind"], share["reason"], share["mean"]) for share in found["shares_of_time_on_location"]]
            for unit, found in summary["units"].items()
        },
        "supplies": _supplies(summary.get("supplies", {})),
        "money_answer": summary.get("money_answer", []),
        "costs": [_cost(row) for row in summary.get("money", {}).get("costs", [])],
        "of_amounts": summary.get("of_amounts", ""),
        "files": files,
        "caution": SHORT.replace("see `check`", "see the list below"),
    }


def _row(milestone: dict[str, Any], start: datetime) -> dict[str, Any]:
    """P10, P50, P90 with their intervals, as dates, and what averages promise."""
    cells = []
    for name in ("P10", "P50", "P90"):
        found = milestone[name]
        low, high = (_bound(found[f"{side}_hours"], start) for side in ("low", "high"))
        between = "too few replications for an interval" if low is None or high is None else between_words(low, high)
        cells.append({"date": _date(found["hours"], start), "between": between})
    averages = milestone["plan_of_averages"]
    return {
        "cells": cells,
        "averages": _date(averages["hours"], start),
        "later": averages["replications_later"],
        "unfinished": milestone["unfinished"],
    }


def between_words(low: str, high: str) -> str:
    """An interval of dates, with the year once if it is the same."""
    if low == high:
        return f"on {low}"
    day, _, year = low.rpartition(" ")
    return f"{day if year.isdecimal() and high.endswith(year) else low} to {high}"


def _bound(hours: Any, start: datetime) -> str | None:
    return None if hours is None else _date(hours, start)


def _date(hours: Any, start: datetime) -> str:
    return day_of(start, float(hours)) if isinstance(hours, int | float) else str(hours)


def curve(hours: list[float]) -> list[tuple[float, float]]:
    """Hours by which a share of all replications is done, as steps thinned out to what a screen can show."""
    n, values = len(hours), sorted(value for value in hours if isfinite(value))
    if not values:
        return []
    places = sorted({round(k * (len(values) - 1) / (MOST_POINTS - 1)) for k in range(MOST_POINTS)})
    return [(values[place], (place + 1) / n) for place in places]


def _supplies(supplies: dict[str, Any]) -> list[dict[str, Any]]:
    """The middle of each figure; volumes in bbl, of proppant lb."""
    shown = ("offered", "used", "turned_away", "lowest_level", "starved_h")
    return [
        {"supply": name, "kind": found["kind"], **{figure: found[figure]["P50"] for figure in shown if figure in found}}
        for name, found in supplies.items()
    ]


def _cost(row: dict[str, Any]) -> dict[str, Any]:
    return {
        "of": row["of"], "name": row["name"], "unit": row["unit"],
        **{name: row[name]["value"] for name in ("P10", "P50", "P90")},
    }  # fmt: skip
