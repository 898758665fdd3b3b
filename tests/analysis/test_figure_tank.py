"""The level of the storage: what the picture shows is what the level rows say."""

import numpy as np
import pandas as pd
import pytest
from drawn import words
from synthetic_pad import CAPACITY_BBL, START, pad

from analysis.figures import supply_rows
from analysis.figures.tank_level import tank_level

INTERVALS, LEVELS = pad()


def small_tank() -> pd.DataFrame:
    """Fills for 10 h at 100 bbl/h, then drawn at 300 bbl/h for 4 h against it, then rising again."""
    rows = [(0.0, "water", 0.0, 100.0, 0.0, 0.0), (10.0, "water", 1000.0, 100.0, 300.0, 0.0)]
    rows.append((14.0, "water", 200.0, 100.0, 0.0, 0.0))
    return pd.DataFrame(rows, columns=["time_h", "supply", "level", "inflow", "outflow", "turned_away"])


def test_level_is_linear_between_rows_and_goes_on_after_the_last() -> None:
    """Hand-calculated levels at the ends of a zoom and beyond the last row, where the tank then stays full."""
    shown = supply_rows.shown_rows(small_tank(), INTERVALS[:0], (5.0, 18.0))
    hours_shown, level_bbl = supply_rows.level_line(shown, 1000.0)
    assert hours_shown.tolist() == [5.0, 10.0, 14.0, 18.0]
    assert level_bbl.tolist() == pytest.approx([500.0, 1000.0, 200.0, 600.0])
    later = supply_rows.shown_rows(small_tank(), INTERVALS[:0], (5.0, 40.0))
    assert supply_rows.level_line(later, 1000.0)[1][-1] == 1000.0


def test_mean_flows_keep_the_volume() -> None:
    """Means over slices hold every barrel in and out that the level rows tell of."""
    shown = supply_rows.shown_rows(LEVELS, INTERVALS, None)
    edges_h, kept, drawn = supply_rows.mean_flows(shown)
    elapsed_h = np.diff(np.append(LEVELS["time_h"], shown.to_h))
    for flow, mean in ((LEVELS["inflow"] - LEVELS["turned_away"], kept), (LEVELS["outflow"], drawn)):
        assert (mean * np.diff(edges_h) / 24.0).sum() == pytest.approx((flow * elapsed_h).sum(), rel=1e-9)


def test_waits_of_several_units_count_once() -> None:
    """Two units waiting for water at the same time are one stretch, clipped to the time shown."""
    waits = [("Fleet A", 2.0, 6.0, "water"), ("Wireline 1", 5.0, 8.0, "water"), ("Fleet A", 9.0, 20.0, "wireline")]
    rows = pd.DataFrame(waits, columns=["unit", "start_h", "end_h", "cause"]).assign(kind="wait", activity="stand by")
    shown = supply_rows.shown_rows(small_tank(), rows, (3.0, 12.0))
    assert supply_rows.waits_for(shown, "water") == [(3.0, 8.0)]


def test_tank_says_what_it_would_else_hide() -> None:
    """Stages, hours of waiting and water turned away stand in words; no wait is said too."""
    said = words(tank_level(LEVELS, INTERVALS, CAPACITY_BBL, START))
    away_bbl = (LEVELS["turned_away"] * np.diff(np.append(LEVELS["time_h"], LEVELS["time_h"].max()))).sum()
    assert "the 300 stages" in said
    assert f"{away_bbl / 1000.0:,.1f} thousand bbl" in said
    water = INTERVALS[(INTERVALS["cause"] == "water")]
    assert f"waits for water: {(water['end_h'] - water['start_h']).sum():.1f} h" in said
    assert "No unit waits for water" in words(tank_level(small_tank(), INTERVALS[:0], 1000.0, START))


def test_supply_and_zoom_are_checked() -> None:
    """Unknown or ambiguous supplies and a zoom that ends before it starts are refused by name."""
    two = pd.concat([LEVELS, LEVELS.assign(supply="proppant")])
    with pytest.raises(ValueError, match="water, proppant"):
        tank_level(two, INTERVALS, CAPACITY_BBL, START)
    with pytest.raises(ValueError, match="zoom"):
        tank_level(LEVELS, INTERVALS, CAPACITY_BBL, START, zoom=(5.0, 5.0))
    assert "level (thousand bbl)" in words(tank_level(two, INTERVALS, CAPACITY_BBL, START, supply="water"))
