"""What becomes of level rows and waits: volumes, levels and hours starved of every supply, worked out by hand."""

from __future__ import annotations

import csv
import io
from typing import Any

import numpy as np
import pandas as pd
import pytest
from rich.console import Console
from rich.table import Table

from analysis.forecasting.supply_summary import FIGURES, supply_summaries
from analysis.forecasting.supply_table import supplies_csv, supply_table
from analysis.supply_measures import ShortageRow, SupplyRow, shortage_rows, supply_and_part, supply_rows
from sim.log import NO_ROW, Interval, Level, Log

START_H, END_H = 10.0, 30.0


def wait(unit: str, start_h: float, end_h: float, cause: str) -> Interval:
    return Interval(start_h, end_h, unit, "pump stage", "A", 1, "wait", cause, NO_ROW)


def log_with(levels: list[Level], waits: list[Interval], **more: Any) -> Log:
    return Log(3, 0, 1000.0, {"A": 1}, waits, levels, **more)


LEVELS = [
    Level(0.0, "water", 0.0, 100.0, 0.0, 0.0),
    Level(0.0, "River", 0.0, 120.0, 100.0, 20.0),
    Level(0.0, "Pond", 500.0, 0.0, 0.0, 2.0),
    Level(0.0, "proppant", 900.0, 0.0, 0.0, 0.0),
    Level(10.0, "water", 1000.0, 100.0, 300.0, 0.0),
    Level(14.0, "water", 200.0, 100.0, 0.0, 0.0),
    Level(15.0, "proppant", 900.0, 0.0, 40.0, 0.0),
    Level(22.0, "water", 1000.0, 100.0, 0.0, 100.0),
    Level(25.0, "River", 0.0, 0.0, 0.0, 0.0),
    Level(35.0, "proppant", 100.0, 300.0, 0.0, 0.0),
]
WAITS = [
    wait("Fleet", 12.0, 14.0, "water: source"),
    wait("Wireline", 13.0, 15.0, "water: source"),
    wait("Wireline", 14.5, 16.0, "water: transfer"),
    wait("Fleet", 18.0, 19.0, "proppant: trucks"),
    wait("Fleet", 20.0, 21.0, "weather"),
]


def test_every_supply_has_a_row() -> None:
    """From hour zero to the end of the last stage at 30 h; levels from the first stage at 10 h on.

    Water: 100 in for 30 h; 300 out for 4 h; full from 22 h, so 800 turned away. River: 120 on offer for 25 h, of which
    100 taken. The pond loses 2 an hour. Proppant goes on at 40 until 30 h, what comes after that does not count.
    """
    log = log_with(LEVELS, WAITS, feeders={"River": "source", "Pond": "pond"})
    assert supply_rows(log, START_H, END_H) == [
        SupplyRow(3, "water", "store", 3000.0, 1200.0, 800.0, 300.0, 200.0, 4.0),
        SupplyRow(3, "River", "source", 3000.0, 2500.0, 500.0, 100.0, 0.0, 0.0),
        SupplyRow(3, "Pond", "pond", 0.0, 0.0, 60.0, 0.0, 440.0, 0.0),
        SupplyRow(3, "proppant", "store", 0.0, 600.0, 0.0, 40.0, 300.0, 1.0),
    ]


def test_hours_are_those_in_which_anybody_waits() -> None:
    """Two units that wait at once make no hour longer; what is no supply is not counted."""
    assert shortage_rows(log_with(LEVELS, WAITS)) == [
        ShortageRow(3, "water", "source", 3.0, 12.0),
        ShortageRow(3, "water", "transfer", 1.5, 14.5),
        ShortageRow(3, "proppant", "trucks", 1.0, 18.0),
    ]


def test_a_cause_is_a_supply_and_a_part() -> None:
    """A supply alone has no part."""
    assert supply_and_part("proppant: trucks") == ("proppant", "trucks")
    assert supply_and_part("water") == ("water", "")


def test_nothing_is_logged_of_supplies_that_are_never_short() -> None:
    """No levels, no rows, whatever anybody waits for."""
    assert supply_rows(log_with([], WAITS), START_H, END_H) == []
    assert shortage_rows(log_with([], WAITS)) == []


def tables(n: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    """`n` replications whose used volume is 1000 times their number, every second of which waits two hours."""
    rows = [SupplyRow(k, "water", "store", 2e6, 1000.0 * k, 5e5, 100.0, 0.0, 2.0 * (k % 2)) for k in range(1, n + 1)]
    rows += [SupplyRow(k, "River", "source", 2e6, 1e6, 0.0, 100.0, 0.0, 0.0) for k in range(1, n + 1)]
    waits = [ShortageRow(k, "water", "source", 2.0, 10.0 * k) for k in range(1, n + 1) if k % 2]
    return pd.DataFrame(rows, columns=SupplyRow._fields), pd.DataFrame(waits, columns=ShortageRow._fields)


def test_quantiles_and_means_over_replications() -> None:
    """P10 of 1000, 2000 ... 100,000 is 10,000; a replication that did not wait counts as none in the mean."""
    water, river = supply_summaries(*tables(100), 100)
    assert [quantile.value for quantile in water.figures["used"]] == [10_000.0, 50_000.0, 90_000.0]
    assert water.means["used"].mean == pytest.approx(50_500.0)
    assert water.parts["source"].mean == pytest.approx(1.0)
    assert water.parts["source"].standard_deviation == pytest.approx(np.std([2.0, 0.0] * 50, ddof=1))
    assert (river.kind, river.parts) == ("source", {})
    assert water.first.value == 990.0  # every second of 100 waits, the last of them from 990 h on
    assert river.first.value == float("inf")


def printed(table: Table) -> list[str]:
    console = Console(width=130, file=io.StringIO())
    with console.capture() as shown:
        console.print(table)
    return shown.get().splitlines()


def test_the_table_shows_what_belongs_to_each_kind() -> None:
    """Thousands; a source has neither a level nor anybody waiting for it."""
    shown = printed(supply_table(supply_summaries(*tables(100), 100)))
    water, spans, river = (shown[number].split("  ") for number in (3, 4, 5))
    assert [cell.strip() for cell in water if cell.strip()][:4] == ["water", "2,000", "50", "500"]
    assert "10 - 90" in " ".join(spans)
    assert "0 - 2" in " ".join(spans)
    assert [cell.strip() for cell in river if cell.strip()] == ["River", "2,000", "1,000", "0", "2"]


def test_the_file_holds_every_figure_with_its_bounds() -> None:
    """One line for each figure, and one for each part that was short."""
    read = list(csv.DictReader(io.StringIO(supplies_csv(supply_summaries(*tables(100), 100)))))
    assert [line["figure"] for line in read[: len(FIGURES)]] == list(FIGURES)
    used = read[1]
    assert (used["supply"], used["kind"]) == ("water", "store")
    assert float(used["P50 (50 % chance of no more)"]) == 50_000.0
    low, high = (float(used[f"P50 (50 % chance of no more) {which}"]) for which in ("low", "high"))
    assert (low, high) == (40_000.0, 61_000.0)  # ranks 40 and 61 of 100, as scipy.stats.quantile_test gives them
    assert float(used["mean low"]) < 50_500 < float(used["mean high"])
    assert any(line["figure"] == "starved_h by source" and float(line["mean"]) == 1.0 for line in read)
