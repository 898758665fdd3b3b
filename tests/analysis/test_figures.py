"""The pictures as pictures: they build, read well, stay small and come out the same every time."""

import subprocess
import sys
from itertools import combinations, pairwise

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.text import Text
from PIL import Image
from synthetic_pad import CAPACITY_BBL, START, dates, pad

from analysis.figures import theme
from analysis.figures.chance_curve import Band, chance_curve
from analysis.figures.tank_level import tank_level
from analysis.figures.unit_gantt import gantt_by_unit
from analysis.figures.well_gantt import gantt_by_well

HORIZON_H = 240 * 24.0
PLAN_H = {"first production": 36 * 24.0, "all wells on production": 64 * 24.0}


def unfinished_dates() -> dict[str, np.ndarray]:
    hours = dates(400)
    hours["all wells on production"][hours["all wells on production"] > 76 * 24.0] = np.inf
    return hours


def band(hours: np.ndarray) -> Band:
    """Limits two percentage points either side, enough to draw."""
    chance = np.linspace(0.02, 0.98, 49)
    early, late = (np.quantile(hours, chance + shift, method="inverted_cdf") for shift in (-0.02, 0.02))
    return Band(chance, early, late)


def without_waits() -> Axes:
    intervals, levels = pad(wells=2, stages=6)
    return tank_level(levels, intervals[intervals["kind"] != "wait"], CAPACITY_BBL, START)


def on_given_axes() -> Axes:
    intervals, levels = pad()
    return tank_level(levels, intervals, CAPACITY_BBL, START, ax=theme.new_axes(3.5)[0])


PICTURES = {
    "units": lambda: gantt_by_unit(pad()[0], START, title="Representative (median) replication 137"),
    "wells": lambda: gantt_by_well(pad()[0], START, title="Representative (median) replication 137"),
    "tank": lambda: tank_level(*pad()[::-1], CAPACITY_BBL, START),
    "chance": lambda: chance_curve(dates(2000), START, plan_of_averages=PLAN_H, horizon_h=HORIZON_H),
    "units, one stage": lambda: gantt_by_unit(pad(1, 1)[0], START),
    "wells, one stage": lambda: gantt_by_well(pad(1, 1)[0], START),
    "tank, one stage": lambda: tank_level(*pad(1, 1)[::-1], CAPACITY_BBL, START),
    "chance, one replication": lambda: chance_curve(dates(1), START, horizon_h=HORIZON_H),
    "units, cut off": lambda: gantt_by_unit(pad(horizon_h=960.0)[0], START, horizon_h=960.0),
    "wells, cut off": lambda: gantt_by_well(pad(horizon_h=960.0)[0], START),
    "tank, cut off": lambda: tank_level(*pad(horizon_h=960.0)[::-1], CAPACITY_BBL, START),
    "chance, cut off": lambda: chance_curve(
        unfinished_dates(),
        START,
        plan_of_averages=PLAN_H,
        horizon_h=76 * 24.0,
        bands={name: band(hours) for name, hours in unfinished_dates().items()},
    ),
    "chance, never done": lambda: chance_curve({"first production": np.full(9, np.inf)}, START, horizon_h=HORIZON_H),
    "tank, no waits": without_waits,
    "tank, three days": lambda: tank_level(*pad()[::-1], CAPACITY_BBL, START, zoom=(600.0, 672.0)),
    "tank, given axes": on_given_axes,
}


@pytest.fixture(scope="module", params=PICTURES, ids=lambda name: name.replace(", ", "-").replace(" ", "_"))
def picture(request: pytest.FixtureRequest) -> Axes:
    return PICTURES[request.param]()


def texts(ax: Axes) -> list[tuple[str, mpl.transforms.Bbox]]:
    """Every word that is drawn, with its place in pixels."""
    figure = theme.settle(ax)
    drawn = [text for text in figure.findobj(Text) if text.get_visible() and text.get_text().strip()]
    hidden = [label for panel in figure.axes for label in undrawn_tick_labels(panel)]
    return [(text.get_text(), Text.get_window_extent(text)) for text in drawn if text not in hidden]


def undrawn_tick_labels(ax: Axes) -> list[Text]:
    """Labels switched off, and those of ticks beyond the ends of an axis, which are never drawn."""
    undrawn = []
    for axis in (ax.xaxis, ax.yaxis):
        first, last = sorted(axis.get_view_interval())
        for tick in [*axis.get_major_ticks(), *axis.get_minor_ticks()]:
            beyond = not first <= tick.get_loc() <= last
            undrawn += [label for label in (tick.label1, tick.label2) if beyond or not label.get_visible()]
    return undrawn


def test_no_word_stands_on_another_or_off_the_page(picture: Axes) -> None:
    """All words of all pictures, ordinary and odd, are apart from one another and inside the picture."""
    words = texts(picture)
    page = picture.get_figure(root=True).bbox
    assert len(words) > 8
    for (one, box), (other, other_box) in combinations(words, 2):
        assert not box.overlaps(other_box), f"{one!r} overlaps {other!r}"
    for word, box in words:
        assert page.x0 <= box.x0 < box.x1 <= page.x1, word
        assert page.y0 <= box.y0 < box.y1 <= page.y1, word


def test_files_are_wide_enough_and_small(picture: Axes, tmp_path) -> None:
    """PNG at least 1600 px wide, SVG below a megabyte, and not a warning on the way."""
    png, svg = theme.save(picture.get_figure(root=True), tmp_path / "picture.v1")
    with Image.open(png) as image:
        assert image.width >= 1600
    assert svg.name == "picture.v1.svg"
    assert svg.stat().st_size < 1_000_000


@pytest.mark.parametrize("name", ["units", "wells", "tank", "chance"])
def test_equal_pictures_are_equal_bytes(name: str, tmp_path) -> None:
    """Two renders of the same table give the same SVG and PNG, byte for byte."""
    renders = [theme.save(PICTURES[name]().get_figure(root=True), tmp_path / str(run)) for run in (1, 2)]
    for first, second in zip(*renders, strict=True):
        assert first.read_bytes() == second.read_bytes()


def test_nothing_global_is_changed(tmp_path) -> None:
    """Building and saving leave matplotlib's settings as they were."""
    before = dict(mpl.rcParams)
    for name in ("units", "wells", "tank, one stage", "chance, cut off"):
        theme.save(PICTURES[name]().get_figure(root=True), tmp_path / "any")
    assert dict(mpl.rcParams) == before


def test_a_reader_s_own_settings_do_not_show(tmp_path) -> None:
    """The bytes of the SVG do not depend on the salt, fonts as text or cropping set elsewhere."""
    plain = theme.save(PICTURES["chance"]().get_figure(root=True), tmp_path / "plain")[1]
    with mpl.rc_context({"svg.hashsalt": "other", "svg.fonttype": "none", "savefig.bbox": "tight"}):
        other = theme.save(PICTURES["chance"]().get_figure(root=True), tmp_path / "other")[1]
    assert plain.read_bytes() == other.read_bytes()


def test_no_pyplot() -> None:
    """The pictures never load pyplot, whose state is global."""
    modules = "chance_curve, tank_level, theme, unit_gantt, well_gantt"
    code = f"import sys; from analysis.figures import {modules}; sys.exit('matplotlib.pyplot' in sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize(
    ("name", "labels"),
    [
        ("units", {"date (2027, marked on Mondays)"}),
        ("wells", {"date (2027, marked on Mondays)"}),
        ("chance", {"date (2027, marked on Mondays)", "chance done by (%)"}),
        ("tank", {"date (2027, marked on Mondays)", "level (thousand bbl)", "flow (thousand\nbbl/day)", "stages"}),
    ],
)
def test_axes_carry_units(name: str, labels: set[str]) -> None:
    """Every axis that counts something says in what."""
    panels = PICTURES[name]().get_figure(root=True).axes
    found = {label for ax in panels for label in (ax.get_xlabel(), ax.get_ylabel()) if label}
    assert found == labels


# ---------------------------------------------------------------------------------------------- colours

MUTED = {
    "#332288", "#88CCEE", "#44AA99", "#117733", "#999933", "#DDCC77", "#CC6677", "#882255", "#AA4499", "#DDDDDD",
}  # fmt: skip
LOOKS = [theme.WAIT_FILL, *theme.TRADE_COLOURS.values(), theme.TROUBLE]
EVEN_STEP = 100.0 / (len(LOOKS) - 1)  # lightness between neighbours if all looks were spread evenly, white to black


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1. Source: IEC 61966-2-1 (from memory)."""
    channels = np.array([int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5)])
    linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def lightness(colour: str) -> float:
    """CIE 1976 lightness, 0 black to 100 white. Source: CIE 15 (from memory)."""
    return 116.0 * np.cbrt(luminance(colour)) - 16.0


def test_colours_are_a_published_safe_set() -> None:
    """Trades, moving and series take colours of the muted scheme. Source: P. Tol 2021, SRON/EPS/TN/09-002."""
    assert {*theme.TRADE_COLOURS.values(), *theme.SERIES_COLOURS, theme.MOVING, theme.WATER_WAIT_MARK} <= MUTED


def test_every_trade_has_a_colour_of_its_own() -> None:
    """No two trades share a colour, nor does a trade share that of moving, trouble or waiting for water."""
    looks = [*theme.TRADE_COLOURS.values(), theme.MOVING, theme.OTHER, theme.TROUBLE, theme.WATER_WAIT_MARK]
    assert len(set(looks)) == len(looks)


def test_neighbours_differ_in_grey() -> None:
    """Trades that follow one another, and trouble or waits beside any of them, are told apart without colour."""
    trades = list(theme.TRADE_COLOURS.values())
    beside = [(trade, other) for trade in trades for other in (theme.TROUBLE, theme.WAIT_FILL)]
    for one, other in [*pairwise(trades), *beside]:
        assert abs(lightness(one) - lightness(other)) >= EVEN_STEP, (one, other)


def test_moving_differs_in_grey() -> None:
    """Moving is paler than any work and, unhatched, darker than waiting, by at least half an even step."""
    darkest_paler = min(lightness(theme.MOVING) - lightness(trade) for trade in theme.TRADE_COLOURS.values())
    assert darkest_paler >= EVEN_STEP / 2
    assert lightness(theme.WAIT_FILL) - lightness(theme.MOVING) >= EVEN_STEP / 2


def test_words_can_be_read_on_white() -> None:
    """Contrast of all words at least 4.5 to 1. Source: W3C 2018, WCAG 2.1, criterion 1.4.3 (from memory)."""
    for colour in (*theme.SERIES_COLOURS, theme.INK, theme.QUIET):
        assert 1.05 / (luminance(colour) + 0.05) >= 4.5, colour


def test_series_differ_in_grey() -> None:
    """Curves that follow one another differ in lightness by at least half an even step."""
    for one, other in pairwise(theme.SERIES_COLOURS):
        assert abs(lightness(one) - lightness(other)) >= EVEN_STEP / 2
