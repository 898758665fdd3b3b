"""Who is where when: what the bars of units and wells say is what the log says."""

from datetime import timedelta

import numpy as np
import pandas as pd
import pytest
from drawn import words
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex
from synthetic_pad import START, pad

from analysis.figures import theme
from analysis.figures.bars import COLOURS
from analysis.figures.shares import hours_within, slice_edges
from analysis.figures.unit_gantt import UNIT_BAR, gantt_by_unit
from analysis.figures.well_gantt import gantt_by_well

INTERVALS, _ = pad()


def area(corners: np.ndarray) -> float:
    """Area of a polygon from its corners (shoelace formula)."""
    x, y = corners[:-1].T
    return 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def drawn_hours(ax: Axes, row: str, colour: str) -> float:
    """Hours that the coloured area in a unit's row stands for."""
    place = [label.get_text() for label in ax.get_yticklabels()].index(row)
    outlines = [
        path.vertices
        for collection in ax.collections
        if isinstance(collection, PolyCollection) and to_hex(collection.get_facecolor()[0]) == colour.lower()
        for path in collection.get_paths()
        if abs(path.vertices[:, 1] - place).max() < 0.5
    ]
    return sum(area(outline) for outline in outlines) / UNIT_BAR * 24.0


def hours(rows: pd.DataFrame) -> float:
    return float((rows["end_h"] - rows["start_h"]).sum())


@pytest.mark.parametrize(
    ("unit", "activities", "colour"),
    [
        ("Fleet A", ["pump stage"], "fracturing"),
        ("Wireline 2", ["plug and perforate"], "wireline"),
        ("Milling rig 1", ["trip in", "mill plugs", "trip out"], "drill-out"),
        ("Fleet A", ["rig up", "rig down", "swap", "move between groups"], "moving"),
    ],
)
def test_no_hour_of_work_is_lost_by_being_narrow(unit: str, activities: list[str], colour: str) -> None:
    """The coloured area of a unit's row is its hours of work, though single stages are too narrow to draw."""
    rows = INTERVALS[(INTERVALS["unit"] == unit) & (INTERVALS["kind"] == "work")]
    expected = hours(rows[rows["activity"].isin(activities)])
    drawn = drawn_hours(gantt_by_unit(INTERVALS, START), unit, COLOURS[colour])
    assert drawn == pytest.approx(expected, rel=1e-6)


def test_trouble_is_drawn_in_full() -> None:
    """The dark area of a unit's row is its hours of trouble."""
    rows = INTERVALS[(INTERVALS["unit"] == "Wireline 1") & (INTERVALS["kind"] == "trouble")]
    assert hours(rows) > 0.0
    drawn = drawn_hours(gantt_by_unit(INTERVALS, START), "Wireline 1", theme.TROUBLE)
    assert drawn == pytest.approx(hours(rows), rel=1e-6)


def test_wells_pumped_together_count_once() -> None:
    """Two rows of one unit with equal hours, one for each well, fill the bar as one does."""
    pumped = INTERVALS[(INTERVALS["activity"] == "pump stage") & (INTERVALS["kind"] == "work")]
    twice = pd.concat([INTERVALS, pumped.assign(well="Heron 9")])
    drawn = drawn_hours(gantt_by_unit(twice, START), "Fleet A", COLOURS["fracturing"])
    assert drawn == pytest.approx(hours(pumped), rel=1e-6)


def test_units_stand_in_order_of_trade() -> None:
    """Preparation first, flowback last, whatever the order of the log and the names of the units."""
    shuffled = INTERVALS.sample(frac=1.0, random_state=5).replace({"unit": {"Fleet A": "Big Blue"}})
    ax = gantt_by_unit(shuffled, START)
    assert [label.get_text() for label in ax.get_yticklabels()][::-1] == [
        "Preparation crew 1",
        "Water crew 1",
        "Wireline 1",
        "Wireline 2",
        "Big Blue",
        "Milling rig 1",
        "Flowback spread 1",
    ]


def test_a_unit_shows_when_it_comes_and_goes() -> None:
    """The dates beside a bar are the end of the row "arrive" and of the unit's last row."""
    fleet = INTERVALS[INTERVALS["unit"] == "Fleet A"]
    arrives = START + timedelta(hours=float(fleet["end_h"].iloc[0]))
    leaves = START + timedelta(hours=float(fleet["end_h"].max()))
    said = words(gantt_by_unit(fleet, START)).splitlines()
    assert {f"{day.day} {day:%b}" for day in (arrives, leaves)} <= set(said)


def test_a_stay_cut_short_is_not_called_leaving() -> None:
    """A unit still on location at the horizon has no date of leaving."""
    cut, _ = pad(horizon_h=960.0)
    assert "unfinished" not in words(gantt_by_unit(INTERVALS, START))
    assert "unfinished" in words(gantt_by_unit(cut, START, horizon_h=960.0))


def test_well_dates_are_those_of_the_log() -> None:
    """Each well shows the date at which turning in line ends, and that at which its first stage starts."""
    said = words(gantt_by_well(INTERVALS, START)).splitlines()
    for _, rows in INTERVALS[INTERVALS["well"] != ""].groupby("well"):
        on_production_h = rows.loc[rows["activity"] == "turn in line", "end_h"].max()
        first_stage_h = rows.loc[(rows["activity"] == "pump stage") & (rows["kind"] != "wait"), "start_h"].min()
        for hour in (on_production_h, first_stage_h):
            assert theme.day_text(START, hour) in said


def test_the_table_of_wells_decides_what_is_finished() -> None:
    """A well the table calls unfinished is not shown on production, whatever its last row looks like."""
    names = sorted(set(INTERVALS["well"]) - {""})
    table = pd.DataFrame({"well": names})
    for column in ("fracturing_start_h", "fracturing_end_h", "flowback_start_h"):
        table[column] = 500.0
    table["on_production_h"] = [np.inf] + [1500.0] * (len(names) - 1)
    said = words(gantt_by_well(INTERVALS, START, wells=table))
    assert said.count("unfinished") == 1
    assert said.count(theme.day_text(START, 1500.0)) >= len(names) - 1


def test_a_well_without_rows_is_still_shown() -> None:
    """A well whose rig has not left by the horizon has no rows; the table of wells knows it, so the picture does."""
    never = {"fracturing_start_h": np.inf, "fracturing_end_h": np.inf, "flowback_start_h": np.inf}
    table = pd.DataFrame([{"well": "Heron 7", "on_production_h": np.inf} | never])
    ax = gantt_by_well(INTERVALS, START, wells=table)
    assert next(label.get_text() for label in ax.get_yticklabels()) == "Heron 7"
    assert words(ax).count("unfinished") == 1


def test_nothing_to_draw_is_an_error() -> None:
    """A log without a unit on location is refused in words."""
    with pytest.raises(ValueError, match="no intervals to draw"):
        gantt_by_unit(INTERVALS[INTERVALS["activity"] == "arrive"], START)


def test_hours_within_slices_add_up() -> None:
    """Slicing neither loses nor invents hours, for pieces long and short, in any order."""
    rng = np.random.default_rng(11)
    edges = np.cumsum(rng.exponential(3.0, 400))
    starts_h, ends_h = edges[:-1:2], edges[1::2]
    order = rng.permutation(len(starts_h))
    slices = slice_edges(starts_h, ends_h, 4.0, 6.0)
    found = hours_within(starts_h[order], ends_h[order], slices)
    assert found.sum() == pytest.approx((ends_h - starts_h).sum(), abs=1e-5)
    assert (found <= np.diff(slices) + 1e-9).all()
