"""Playing scenarios in tests, and reading what matters out of the log."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from itertools import pairwise
from typing import Any
from unittest.mock import patch

from sim.log import NO_ROW, Interval, Log
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from sim.supplies.plain_draw import PlainDraw
from sim.supplies.stock import Stock
from tests.pads import units

MOST_DRAWS = 20_000  # far more than any pad of these tests needs

LATE_FLOWBACK = {"rig_up": "0 h", "duration": "0 h", "turn_in_line": "1 h"}
"""A spread whose last work shows in the log."""


class EndlessError(AssertionError):
    """A pad asks for water again and again, and time stands still."""


@contextmanager
def bounded_draws() -> Iterator[None]:
    """Within it, a replication that would go on for ever ends in an EndlessError."""
    draws, real = 0, Stock.draw

    def draw(stock: Stock, *of: Any, **more: Any) -> PlainDraw:
        nonlocal draws
        draws += 1
        if draws > MOST_DRAWS:
            raise EndlessError(f"{draws} draws, the last at {stock._at_h} h")
        return real(stock, *of, **more)

    with patch.object(Stock, "draw", draw):
        yield


def play(scenario: Scenario, replication: int = 0, seed: int = 0) -> Log:
    """One replication, which cannot go on for ever."""
    with bounded_draws():
        return simulate(scenario, replication, seed)


def planned(wells: list[dict], strategy: dict | None = None, **more: Any) -> Scenario:
    """A consistent scenario, read as one from a file would be."""
    stated = {"start": "2027-03-01", "horizon": "500 day", "wells": wells, "strategy": strategy or {}}
    return load_stated(stated | {"units": units(flowback_spreads=LATE_FLOWBACK)} | more)


def rows_of(log: Log, unit: str) -> list[tuple[float, float, str, str]]:
    """What a unit did: start, end, activity, and the cause of a wait or trouble."""
    return [(row.start_h, row.end_h, row.activity, row.cause) for row in log.intervals if row.unit == unit]


def work(log: Log, activity: str) -> list[Interval]:
    """Rows of work of one kind, in the order of the log."""
    return [row for row in log.intervals if row.activity == activity and row.kind == "work"]


def causes(log: Log, unit: str = "") -> set[str]:
    """Everything that one unit, or anybody, waited for."""
    return {row.cause for row in log.intervals if row.kind == "wait" and unit in {"", row.unit}}


def last_row(log: Log) -> int:
    """Number of the row that ends last."""
    ends = [row.end_h for row in log.intervals]
    return ends.index(max(ends))


def chain(log: Log, number: int) -> list[Interval]:
    """The rows that led to the end of one row, latest first: each released by the next."""
    rows: list[Interval] = []
    while number != NO_ROW:
        rows.append(log.intervals[number])
        number = rows[-1].after
    return rows


def length_h(row: Interval) -> Fraction:
    """How long a row lasts, without rounding."""
    return Fraction(row.end_h) - Fraction(row.start_h)


def water_bbl(log: Log, flow: str) -> float:
    """Volume of one of the flows of the storage, from the first to the last of its rows."""
    rows = pairwise(log.levels)
    return sum(getattr(row, flow) * (following.time_h - row.time_h) for row, following in rows)
