"""The picture of all supplies: levels, limits, outages and stages on one axis of time."""

from __future__ import annotations

import pandas as pd
from drawn import words
from synthetic_pad import CAPACITY_BBL, START, pad

from analysis.figures import supply_rows, theme
from analysis.figures.supply_levels import Feeder, Held, outage_spans, supply_levels

INTERVALS, LEVELS = pad()


def test_outages_are_hours_below_the_rate() -> None:
    """From when the source first can deliver: a line that is not laid yet is no outage. Spans that touch are one."""
    rows = [(0.0, 0.0), (5.0, 100.0), (8.0, 0.0), (9.0, 40.0), (11.0, 100.0), (20.0, 0.0)]
    levels = pd.DataFrame(
        [(time_h, "River", 0.0, able, able, 0.0) for time_h, able in rows],
        columns=["time_h", "supply", "level", "inflow", "outflow", "turned_away"],
    )
    shown = supply_rows.Shown(levels, INTERVALS[:0], 0.0, 30.0)
    assert outage_spans(levels, Feeder("River", 100.0), shown) == [(8.0, 11.0), (20.0, 30.0)]
    assert outage_spans(levels, Feeder("River", 100.0), shown._replace(from_h=9.0, to_h=10.0)) == [(9.0, 10.0)]
    assert outage_spans(levels, Feeder("Wells", 100.0), shown) == []


def test_supplies_share_one_axis_of_time() -> None:
    """A panel for each store, one for outages, one for stages; limits are named; a store not logged is left out."""
    sand = LEVELS.assign(supply="proppant", level=LEVELS["level"] * 40.0)
    river = LEVELS.assign(supply="River", level=0.0, inflow=0.0)
    held = [
        Held("water", CAPACITY_BBL, 500.0, 1e-3, "thousand bbl", "#332288"),
        Held("proppant", 40.0 * CAPACITY_BBL, 0.0, 1e-6, "million lb", "#DDCC77"),
        Held("diesel", 1.0, 0.0, 1.0, "bbl", "#808080"),
    ]
    top = supply_levels(
        pd.concat([LEVELS, sand, river]), INTERVALS, held, [Feeder("River", 1.0)], START, title="Supplies"
    )
    figure = theme.settle(top)
    assert len(figure.axes) == 4
    assert len({ax.get_xlim() for ax in figure.axes}) == 1
    said = " ".join(words(ax) for ax in figure.axes)
    for text in (
        "water\n(thousand bbl)",
        "proppant\n(million lb)",
        "working minimum 0.5",
        "capacity",
        "River",
        "stages pumped",
    ):
        assert text in said, text
    assert "diesel" not in said
