"""What happened on the pad, read from a CSV of our own columns: start, end, unit, activity, well, stage, cause.

A row without an end is under way. What the plan cannot take is said with its line: what makes a row useless refuses
the log, all such rows at once; what merely goes against the plan is told and used.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from math import inf
from pathlib import Path
from typing import NamedTuple

from sim import activities
from sim.log import NO_ROW, Interval, Kind
from sim.scenario.csv_rows import Complaints, Row, csv_rows
from sim.scenario.equipment import individuals
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario
from sim.scenario.text_file import read_text

COLUMNS = ("start", "end", "unit", "activity", "well", "stage", "cause")
KNOWN = (*activities.WAITING_FOR, activities.STAND_BY, activities.ARRIVE, activities.SHUT_IN)
WATER_UNITS = ("Water line", "Water storage", "Proppant storage")


class FieldRows(NamedTuple):
    """Rows of the log in order of start; one under way ends at infinity. `told` is what goes against the plan."""

    rows: list[Interval]
    told: list[str]


def read_rows(file: Path, scenario: Scenario, words: Mapping[str, str]) -> FieldRows:
    """Rows of a log. `words` are other people's words, or names of columns, and ours for each.

    Raises ScenarioError with every row that cannot be understood.
    """
    complaints = Complaints(str(file))
    lines = csv_rows(read_text(file, 50, "a csv table of what happened"), str(file))
    header = next(lines, None)
    names = [words.get(cell, cell.lower()) for cell in header.cells] if header else []
    missing = [name for name in COLUMNS[:5] if name not in names]
    if missing:
        complaints.give_up(1, f"no column {', '.join(missing)}; expected {', '.join(COLUMNS)}")
    rows, told = [], []
    for line in lines:
        cells = {name: words.get(cell, cell) for name, cell in zip(names, line.cells, strict=False)}
        row = _row(cells, line, scenario, complaints)
        if row is not None:
            rows.append(row)
            told += [f"line {line.line}: {text}" for text in _odd(row, scenario)]
    complaints.refuse()
    ordered = sorted(rows, key=lambda row: (row.start_h, row.end_h))
    return FieldRows(ordered, told + list(_out_of_order(ordered, scenario)))


def _row(cells: Mapping[str, str], line: Row, scenario: Scenario, complaints: Complaints) -> Interval | None:
    start_h = _hour(cells, "start", line, scenario, complaints)
    end_h = _hour(cells, "end", line, scenario, complaints) if cells.get("end") else inf
    activity, well, stage = cells.get("activity", ""), cells.get("well", ""), cells.get("stage", "") or "0"
    faults = []
    if activity not in KNOWN:
        faults.append(("activity", f"not known{did_you_mean(activity, KNOWN)}; expected a word of the plan", activity))
    stages = {each.name: each.stage_count for each in scenario.wells}
    if well and well not in stages:
        faults.append(("well", f"not in the plan{did_you_mean(well, stages)}", well))
    elif not stage.isdigit() or int(stage) > (stages[well] if well else 0):
        faults.append(("stage", f"expected a whole number up to {stages.get(well, 0)}", stage))
    if start_h is not None and end_h is not None and end_h <= start_h:
        faults.append(("end", "expected a moment after the start", cells.get("end", "")))
    for where, message, value in faults:
        complaints.add(line.line, where, message, value)
    if faults or start_h is None or end_h is None:
        return None
    cause = cells.get("cause", "")
    kind: Kind = "work" if not cause else "trouble" if cause in scenario.troubles else "wait"
    return Interval(start_h, end_h, cells["unit"], activity, well, int(stage), kind, cause, NO_ROW)


def _hour(cells: Mapping[str, str], name: str, line: Row, scenario: Scenario, complaints: Complaints) -> float | None:
    value = cells.get(name, "")
    try:
        return scenario.hours_at(datetime.fromisoformat(value))
    except (ValueError, TypeError):
        complaints.add(line.line, name, "not a local date and time; expected for example 2027-03-01 06:00", value)
        return None


def known_units(scenario: Scenario) -> set[str]:
    """Names of all units of the plan, and of what carries its supplies."""
    return {name for entries in scenario.units.kinds.values() for name, _ in individuals(entries)} | set(WATER_UNITS)


def _odd(row: Interval, scenario: Scenario) -> Iterator[str]:
    known = known_units(scenario)
    if row.unit and row.unit not in known:
        yield (
            f"unit '{row.unit}' is not in the plan{did_you_mean(row.unit, known)}; "
            "its work counts as done, and the plan goes on without it"
        )


def _out_of_order(rows: list[Interval], scenario: Scenario) -> Iterator[str]:
    """Stages that were skipped, or pumped before those that come before them."""
    for well in scenario.wells:
        pumped = list(dict.fromkeys(row.stage for row in rows if _pumps(row) and row.well == well.name))
        if pumped != sorted(pumped):
            yield f"{well.name}: stages pumped in the order {', '.join(map(str, pumped))}, not from toe to heel"
        skipped = sorted(set(range(1, max(pumped, default=0))) - set(pumped))
        if skipped:
            yield f"{well.name}: no row of pumping stage {', '.join(map(str, skipped))}; counted as pumped"


def _pumps(row: Interval) -> bool:
    return row.activity == activities.PUMP_STAGE and row.kind == "work"
