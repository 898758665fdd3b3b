"""Pictures of plans with many wells and units: they stay of a size, can be read, and say what they leave out."""

from collections.abc import Callable

import numpy as np
import pandas as pd
import pytest
from drawn import words
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.axes import Axes
from synthetic_pad import CAPACITY_BBL, START, pad

from analysis.figures import room, stage_lanes, supply_rows, supply_waits, theme, unit_gantt, well_gantt
from analysis.figures.room import Room, Spot
from analysis.figures.shares import MOST_DAYS, slice_text, slice_width_h
from analysis.figures.sheets import sheets_of
from analysis.figures.supply_levels import Held, supply_levels
from analysis.figures.tank_level import tank_level
from analysis.figures.unit_gantt import gantt_by_unit, unit_sheets
from analysis.figures.well_gantt import gantt_by_well, well_sheets

TALLEST_IN = 16.0  # of a picture ten inches wide
MANY = 60
INTERVALS, LEVELS = pad(wells=MANY, stages=3)


def rows_of(ax: Axes) -> list[str]:
    """Names beside the rows, from the top."""
    return [label.get_text() for label in ax.get_yticklabels()][::-1]


def height_in(ax: Axes) -> float:
    return float(theme.settle(ax).get_figheight())


def table_of(intervals: pd.DataFrame) -> pd.DataFrame:
    """The rows of the table of wells that fit a log."""
    wells = intervals[intervals["well"] != ""].groupby("well")
    pumped = intervals[(intervals["activity"] == "pump stage") & (intervals["kind"] != "wait")].groupby("well")
    found = pd.DataFrame({"fracturing_start_h": pumped["start_h"].min(), "fracturing_end_h": pumped["end_h"].max()})
    flowed = intervals[intervals["activity"] == "flow back"].groupby("well")["start_h"].min()
    return found.assign(flowback_start_h=flowed, on_production_h=wells["end_h"].max()).rename_axis("well").reset_index()


@pytest.fixture(scope="module")
def sheets() -> list[Axes]:
    """All sheets of the 60 wells."""
    return list(
        well_sheets(INTERVALS, START, "A field, median replication (137)", table_of(INTERVALS), 3, "elsewhere.")
    )


def many_units(count: int) -> pd.DataFrame:
    """A log in which every unit works once."""
    one = INTERVALS[INTERVALS["activity"] == "pump stage"].iloc[:count]
    return one.assign(unit=[f"Fleet {number}" for number in range(1, count + 1)])


@given(st.integers(1, 3_000), st.integers(1, 40))
@settings(derandomize=True, max_examples=60, deadline=None)
def test_sheets_hold_every_row_once(rows: int, most: int) -> None:
    """No row is lost or stands twice, none has more than fit, and there are no more sheets than that takes."""
    sheets = sheets_of(rows, most)
    assert [row for each in sheets for row in range(each.first, each.last + 1)] == list(range(1, rows + 1))
    assert max(each.last - each.first + 1 for each in sheets) <= most
    assert (len(sheets) - 1) * most < rows
    assert {each.rows for each in sheets} == {rows}


def test_every_well_stands_on_one_sheet_in_the_order_of_fracturing(sheets: list[Axes]) -> None:
    """60 wells are three sheets of 20; together they hold all, sorted by their first stage."""
    drawn = [rows_of(ax) for ax in sheets]
    pumped = INTERVALS[(INTERVALS["activity"] == "pump stage") & (INTERVALS["kind"] != "wait")]
    first_h = pumped.groupby("well")["start_h"].min()
    assert [len(each) for each in drawn] == [20, 20, 20]
    shown = [well for each in drawn for well in each]
    assert sorted(shown) == sorted(first_h.index)
    assert first_h[shown].is_monotonic_increasing


def test_as_many_wells_as_fit_stand_on_one_sheet_by_name() -> None:
    """24 wells are one picture as ever; one more and there are two, which say so."""
    fits = gantt_by_well(pad(wells=well_gantt.ROWS, stages=1)[0], START)
    assert rows_of(fits) == [f"Heron {number}" for number in range(1, well_gantt.ROWS + 1)]
    assert "sheet" not in words(fits)
    more = pad(wells=well_gantt.ROWS + 1, stages=1)[0]
    assert "sheet 1 of 2: wells 1 to 12 of 25, in the order in which they are fractured" in words(
        gantt_by_well(more, START)
    )
    assert "sheet 2 of 2: wells 13 to 25 of 25" in words(gantt_by_well(more, START, sheet=2))


@pytest.mark.parametrize("sheet", [0, 4])
def test_a_sheet_that_is_not_there_is_refused(sheet: int) -> None:
    """The message names the value and what was expected."""
    with pytest.raises(ValueError, match=f"sheet: {sheet}: expected a number from 1 to 3"):
        gantt_by_well(INTERVALS, START, sheet=sheet)
    with pytest.raises(ValueError, match=f"sheet: {sheet}: expected a number from 1 to 2"):
        gantt_by_unit(many_units(60), START, sheet=sheet if sheet == 0 else 4)


def test_a_sheet_starts_with_its_first_stage(sheets: list[Axes]) -> None:
    """The third sheet leaves out the weeks before, but not the day on which each of its wells was prepared."""
    ax = sheets[2]
    own = INTERVALS[INTERVALS["well"].isin(rows_of(ax))]
    pumped_h = own.loc[(own["activity"] == "pump stage") & (own["kind"] != "wait"), "start_h"].min()
    left, right = ax.get_xlim()
    assert left < theme.positions(START, pumped_h) < left + 0.2 * (right - left)
    prepared = own[(own["activity"].isin(("toe preparation", "injection test"))) & (own["kind"] == "work")]
    ends = prepared.groupby("well")["end_h"].max()
    told = [line for line in words(ax).splitlines() if line.startswith("prepared ")]
    expected = {f"prepared {theme.day_text(START, hour)} 2027" for hour in ends}
    assert set(told) <= expected
    assert len(told) >= 15  # of 20 wells: beside the first ones there may be no room


def test_sheets_left_out_are_told(sheets: list[Axes]) -> None:
    """With one of three sheets drawn, it says how many wells are on none and where they are found."""
    (ax,) = well_sheets(INTERVALS, START, "Wells", table_of(INTERVALS), 1, "look elsewhere.")
    assert "The other 40 wells, fractured later, are on no sheet: look elsewhere." in words(ax)
    assert "elsewhere" not in "".join(words(ax) for ax in sheets)


def test_units_left_out_are_told() -> None:
    """70 units are three sheets; the same picture drawn by itself is the same sheet."""
    rows = many_units(70)
    drawn = list(unit_sheets(rows, START, "Units", np.inf, 2, "look elsewhere."))
    assert [len(rows_of(ax)) for ax in drawn] == [23, 23]
    assert "sheet 2 of 3: units 24 to 46 of 70" in words(drawn[1])
    assert "The other 24 units are on no sheet: look elsewhere." in words(drawn[1])
    assert rows_of(gantt_by_unit(rows, START, sheet=2)) == rows_of(drawn[1])


def supplies(wells: int) -> Axes:
    intervals, levels = pad(wells=wells, stages=2)
    held = Held("water", CAPACITY_BBL, 0.0, 1e-3, "thousand bbl", theme.TRADE_COLOURS["water"])
    return supply_levels(levels, intervals, [held], [], START)


DRAWN: dict[str, Callable[[int], Axes]] = {
    "wells": lambda wells: gantt_by_well(pad(wells, 1)[0], START),
    "units": lambda units: gantt_by_unit(many_units(units), START),
    "water": lambda wells: tank_level(*pad(wells, 2)[::-1], CAPACITY_BBL, START),
    "supplies": supplies,
}


@pytest.mark.parametrize(
    ("picture", "count"), [("wells", 24), ("wells", 120), ("units", 32), ("units", 33), ("water", 24), ("water", 120),
                           ("supplies", 24), ("supplies", 120)]
)  # fmt: skip
def test_height_is_bounded(picture: str, count: int) -> None:
    """However many rows there are, a picture is no higher than a page; memory goes with it."""
    assert height_in(DRAWN[picture](count)) <= TALLEST_IN


def test_no_word_on_a_sheet_stands_on_another(sheets: list[Axes]) -> None:
    """All dates written in the picture are apart from one another."""
    ax = sheets[1]
    theme.settle(ax)
    boxes = [text.get_window_extent() for text in ax.texts if text.get_text()[0].isdigit() or "prep" in text.get_text()]
    assert len(boxes) > 40
    assert not any(one.overlaps(other) for place, one in enumerate(boxes) for other in boxes[:place])


def test_words_are_measured_without_a_renderer_for_each(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the number of words, one renderer measures them: one for each was the memory that large plans took."""
    made: list[tuple[float, float]] = []

    class Counted(room.RendererAgg):
        def __init__(self, width: float, height: float, dpi: float) -> None:
            made.append((width, height))
            super().__init__(width, height, dpi)

    (ax,) = theme.new_axes(3.0)
    ax.set_xlim(0, 100)
    monkeypatch.setattr("matplotlib.backends.backend_agg.RendererAgg", Counted)
    monkeypatch.setattr(room, "RendererAgg", Counted)
    place = Room(ax)
    before = len(made)
    assert sum(place.write("word", [Spot(x, 0.5)]) is not None for x in range(2, 90, 9)) == 10
    assert len(made) == before


def test_many_wells_share_one_lane_of_stages() -> None:
    """Up to 24 wells have a lane each; more are counted a day, and the area is the number of stages."""
    few, many = DRAWN["water"](stage_lanes.LANES), DRAWN["water"](stage_lanes.LANES + 1)
    assert len(rows_of(few.get_figure(root=True).axes[-1])) == stage_lanes.LANES
    panel = many.get_figure(root=True).axes[-1]
    assert panel.get_ylabel() == "stages\na day"
    assert "stages begun a day, all 25 wells together" in words(many)
    corners = [path.vertices for path in panel.collections[-1].get_paths()]
    areas = [0.5 * abs(np.dot(x[:-1], np.roll(y[:-1], -1)) - np.dot(y[:-1], np.roll(x[:-1], -1))) for x, y in
             (each.T for each in corners)]  # fmt: skip
    assert sum(areas) == pytest.approx(25 * 2, rel=1e-6)


def waiting(count: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    """So many waits of an hour for water, each followed by three hours of pumping."""
    starts = 4.0 * np.arange(count)
    rows = [(h, h + 1.0, "Fleet", "stand by", "Heron 1", 1, "wait", "water", -1) for h in starts]
    rows += [(h + 1.0, h + 4.0, "Fleet", "pump stage", "Heron 1", int(h) + 1, "work", "", -1) for h in starts]
    level = [(h, "water", 100.0, 10.0, 10.0, 0.0) for h in starts]
    columns = ["start_h", "end_h", "unit", "activity", "well", "stage", "kind", "cause", "after"]
    return (
        pd.DataFrame(level, columns=["time_h", "supply", "level", "inflow", "outflow", "turned_away"]),
        pd.DataFrame(rows, columns=columns).sort_values("start_h"),
    )


def test_waits_too_many_to_be_told_apart_are_shares() -> None:
    """One hour of four is 25 %, which the highest mark stands for; the key has the hours of all waits."""
    some, lots = waiting(supply_waits.MOST), waiting(supply_waits.MOST + 1)
    assert "share" not in words(tank_level(*some, 1_000.0, START))
    ax = tank_level(*lots, 1_000.0, START)
    assert f"a unit waits for water: {supply_waits.MOST + 1:,}.0 h in the time shown; the height is the share" in words(
        ax
    )
    marks = [each for each in ax.collections if theme.to_hex(each.get_facecolor()[0]).upper() == theme.WATER_WAIT_MARK]
    heights = np.concatenate([path.vertices[:, 1] for each in marks for path in each.get_paths()])
    assert (heights.min(), heights.max()) == pytest.approx((1.10, 1.16))
    assert "at the highest 25 %" in words(ax)


@given(st.integers(0, 2**32 - 1))
@settings(derandomize=True, max_examples=10, deadline=None)
def test_outline_keeps_what_shows(seed: int) -> None:
    """In every column of dots the line keeps its ends, its lowest and its highest point; few points are left."""
    rng = np.random.default_rng(seed)
    x, y = np.cumsum(rng.exponential(1.0, 60_000)), rng.normal(size=60_000)
    kept_x, kept_y = supply_rows.outline(x, y)
    assert len(kept_x) <= 4 * supply_rows.COLUMNS
    assert set(kept_x) <= set(x)
    assert (np.diff(kept_x) > 0).all()
    assert (kept_x[0], kept_x[-1], kept_y.min(), kept_y.max()) == (x[0], x[-1], y.min(), y.max())
    edges = np.linspace(x[0], x[-1], supply_rows.COLUMNS + 1)[1:-1]
    whole, kept = (pd.Series(values).groupby(np.searchsorted(edges, places, "right")) for places, values in
                   ((x, y), (kept_x, kept_y)))  # fmt: skip
    for what in ("first", "last", "min", "max"):
        assert (getattr(whole, what)() == getattr(kept, what)()).mean() > 0.99  # rounding moves a point on an edge


def test_a_line_that_shows_whole_is_left_alone() -> None:
    """No point of a short line is taken away."""
    x = np.arange(4.0 * supply_rows.COLUMNS)
    assert supply_rows.outline(x, x)[0] is x


@pytest.mark.parametrize(
    ("span_h", "width", "text"),
    [(150 * 24.0, 24.0, "24 h"), (MOST_DAYS * 24.0, 24.0, "24 h"), (601 * 24.0, 168.0, "7 days"),
     (20 * 365 * 24.0, 336.0, "14 days")],
)  # fmt: skip
def test_slices_of_long_plans_are_weeks(span_h: float, width: float, text: str) -> None:
    """Days up to 600 of them, then as many weeks as leave no more than 600 slices."""
    assert slice_width_h(span_h, 150) == width
    assert slice_text(width) == text


def test_years_stand_beside_the_bars_of_long_plans() -> None:
    """A unit that stays for more than a year shows of which year its dates are; one that stays for weeks does not."""
    long = many_units(2).assign(start_h=[0.0, 24.0], end_h=[9_000.0, 100.0])
    assert unit_gantt.A_YEAR_H == 8_760.0
    assert "1 Mar 2027" in words(gantt_by_unit(long, START)).splitlines()
    assert "1 Mar 2027" not in words(gantt_by_unit(long.assign(end_h=90.0), START)).splitlines()
