"""What the pictures say is what the tables say."""

from datetime import datetime, timedelta

import matplotlib as mpl
import numpy as np
import pandas as pd
import pytest
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex
from matplotlib.dates import num2date
from matplotlib.text import Text
from synthetic_pad import CAPACITY_BBL, START, dates, pad

from analysis.figures import supply_rows, theme
from analysis.figures.bars import COLOURS
from analysis.figures.chance_curve import Band, chance_curve, percentile_h
from analysis.figures.gantt import UNIT_BAR, gantt_by_unit, gantt_by_well
from analysis.figures.shares import hours_within, slice_edges
from analysis.figures.supply_levels import Feeder, Held, outage_spans, supply_levels
from analysis.figures.tank_level import tank_level
from analysis.statistics import quantile

INTERVALS, LEVELS = pad()


def words(ax: Axes) -> str:
    return "\n".join(text.get_text() for text in ax.get_figure(root=True).findobj(Text))


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


# ---------------------------------------------------------------------------------------------- chance


@pytest.mark.parametrize("count", [1, 7, 70, 1000])
def test_percentiles_are_those_of_the_report(count: int) -> None:
    """A marked date is the quantile that the statistics of the run give."""
    values = np.sort(dates(count)["first production"])
    for percent in (10, 50, 90):
        assert percentile_h(values, percent) == quantile(values, percent / 100.0)


def test_marks_name_their_dates() -> None:
    """P10, P50 and P90 of each curve stand beside it with the date, and the convention below."""
    values = dates(1000)
    said = words(chance_curve(values, START, horizon_h=6000.0))
    for hours_of in values.values():
        for percent in (10, 50, 90):
            assert f"P{percent}  {theme.day_text(START, percentile_h(np.sort(hours_of), percent))}" in said
    assert "P90: 90 % chance done by" in said


def test_curve_rises_to_the_share_that_is_done() -> None:
    """With 30 of 100 replications unfinished the curve ends at 70 %, at the horizon, and a note says so."""
    values = np.append(np.arange(70) * 10.0 + 500.0, np.full(30, np.inf))
    ax = chance_curve({"first production": values}, START, horizon_h=1500.0)
    curve = max(ax.lines, key=lambda line: len(line.get_xdata()))
    assert curve.get_ydata()[-1] == pytest.approx(70.0)
    assert curve.get_xdata()[-1] == pytest.approx(theme.positions(START, 1500.0))
    assert "first production: 30 of 100 replications unfinished" in words(ax)
    assert "P90 beyond it" in words(ax)


def test_plan_of_averages_says_how_likely_it_is() -> None:
    """The mark of the plan names its date and the share of replications done by then."""
    values = np.arange(1.0, 101.0) * 10.0
    ax = chance_curve(
        {"first production": values}, START, plan_of_averages={"first production": 125.0}, horizon_h=2000.0
    )
    assert f"{theme.day_text(START, 125.0)}: 12 % chance" in words(ax)


def test_a_plan_beyond_the_horizon_is_said() -> None:
    """A plan of averages that does not finish has no mark, but a note; bounds at infinity end at the frame."""
    values = np.arange(1.0, 101.0) * 10.0
    limits = Band(np.array([0.05, 0.5, 0.95]), np.array([-np.inf, 400.0, 900.0]), np.array([100.0, 600.0, np.inf]))
    plan, bands = {"first production": np.inf}, {"first production": limits}
    ax = chance_curve({"first production": values}, START, plan_of_averages=plan, horizon_h=2000.0, bands=bands)
    assert "first production: not reached by the horizon, 23 May, in the plan of averages" in words(ax)
    (shade,) = ax.collections
    assert np.isfinite(shade.get_paths()[0].vertices).all()


def test_what_cannot_be_drawn_is_refused() -> None:
    """NaN among the hours, no hours, and a plan for an unknown milestone are errors that name it."""
    with pytest.raises(ValueError, match="first production"):
        chance_curve({"first production": np.array([1.0, np.nan])}, START, horizon_h=10.0)
    with pytest.raises(ValueError, match="first production"):
        chance_curve({"first production": np.array([])}, START, horizon_h=10.0)
    with pytest.raises(ValueError, match="last well"):
        chance_curve({"a": np.array([1.0])}, START, plan_of_averages={"last well": 3.0}, horizon_h=10.0)


# ----------------------------------------------------------------------------------------------- water


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
    assert f"waits for water: {hours(water):.1f} h" in said
    assert "No unit waits for water" in words(tank_level(small_tank(), INTERVALS[:0], 1000.0, START))


def test_supply_and_zoom_are_checked() -> None:
    """Unknown or ambiguous supplies and a zoom that ends before it starts are refused by name."""
    two = pd.concat([LEVELS, LEVELS.assign(supply="proppant")])
    with pytest.raises(ValueError, match="water, proppant"):
        tank_level(two, INTERVALS, CAPACITY_BBL, START)
    with pytest.raises(ValueError, match="zoom"):
        tank_level(LEVELS, INTERVALS, CAPACITY_BBL, START, zoom=(5.0, 5.0))
    assert "level (thousand bbl)" in words(tank_level(two, INTERVALS, CAPACITY_BBL, START, supply="water"))


# ----------------------------------------------------------------------------------------------- dates


@pytest.mark.parametrize(
    ("start", "days", "label", "first_ticks"),
    [
        (datetime(2027, 3, 1, 6), 2.0, "date (2027)", ["06:00\n1 Mar", "12:00", "18:00", "2 Mar"]),
        (datetime(2027, 3, 1, 6), 9.0, "date (2027)", ["2 Mar", "3 Mar"]),
        (datetime(2027, 3, 3), 80.0, "date (2027, marked on Mondays)", ["8 Mar", "15 Mar"]),
        (datetime(2027, 12, 15), 40.0, "date (2027 to 2028, marked on Mondays)", ["20 Dec", "27 Dec", "3 Jan"]),
        (datetime(2027, 10, 15), 300.0, "date (2027 to 2028)", ["Nov", "Dec", "Jan\n2028", "Feb"]),
    ],
)
def test_date_axis_marks_round_dates(start: datetime, days: float, label: str, first_ticks: list[str]) -> None:
    """Ticks stand at the dates they name: round hours, days, Mondays (checked by the calendar) or months."""
    ax = theme.new_axes(3.0)[0]
    theme.date_axis(ax, start, 0.0, days * 24.0)
    said = [text.get_text() for text in ax.get_xticklabels()]
    assert ax.get_xlabel() == label
    assert said[: len(first_ticks)] == first_ticks
    for place, text in zip(ax.get_xticks(), said, strict=True):
        day = num2date(place)
        assert text.split()[0] in {str(day.day), f"{day:%H}:00", theme.MONTHS[day.month - 1]}
        assert "Mondays" not in label or day.weekday() == 0


def test_date_places_agree_with_matplotlib() -> None:
    """Hours from the start land where matplotlib puts the same date and time."""
    expected = mpl.dates.date2num(START + timedelta(hours=100.5))
    assert theme.positions(START, 100.5) == pytest.approx(expected, abs=1e-9)


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
