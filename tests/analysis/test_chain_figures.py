"""The pictures of where the days go and of what would buy a week say what their tables say."""

from __future__ import annotations

import pytest
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from analysis.chains.chain_groups import GROUPS
from analysis.figures import theme
from analysis.figures.days_bar import BAR_ROWS, Slice, days_bar
from analysis.figures.gains import Gain, gains

SLICES = [
    Slice("arrival", 13.75, 13.75, 13.75),
    Slice("pumping", 20.2, 14.5, 21.5),
    Slice("weather", 2.5, 1.0, 4.3),
    Slice("troubles", 0.02, 0.0, 0.0),
]
TOTAL = Slice("", 36.47, 30.0, 40.0)
BARS = [
    Gain("no weather", 5.0, 4.0, 6.0, True),
    Gain("one more crew", 0.4, -0.1, 0.9, False),
    Gain("worse", -1, -2, -0.5, True),
]


def words(ax: Axes) -> list[str]:
    return [text.get_text() for text in ax.get_figure(root=True).findobj(Text)]


def bars(ax: Axes) -> list[Rectangle]:
    return [patch for patch in ax.patches if isinstance(patch, Rectangle)]


def assert_inside(ax: Axes) -> None:
    """Nothing that is written is cut off at the edge of the figure."""
    figure = theme.settle(ax)
    width = figure.get_figwidth() * figure.dpi
    for text in (*ax.texts, *ax.get_yticklabels()):
        box = text.get_window_extent()
        assert not text.get_text().strip() or (box.x0 >= -1 and box.x1 <= width + 1), text.get_text()


def test_whole_bar_and_parts_are_as_long_as_their_days() -> None:
    """The parts stand one behind the other, in the bar and below it."""
    ax = days_bar(SLICES, TOTAL, "Title", "Note")
    whole = [bar for bar in bars(ax) if bar.get_height() == BAR_ROWS]
    below = [bar for bar in bars(ax) if bar.get_height() != BAR_ROWS]
    for drawn in (whole, below):
        assert [bar.get_width() for bar in drawn] == pytest.approx([each.mean for each in SLICES])
        assert [bar.get_x() for bar in drawn] == pytest.approx([0, 13.75, 33.95, 36.45])


def test_every_part_is_labelled_with_its_days_and_their_spread() -> None:
    """In words a manager knows; no spread where there is none."""
    said = words(days_bar(SLICES, TOTAL, "Title", "Note"))
    assert "until units arrive as planned  13.8 days" in said
    assert "pumping  20.2 days (14.5 to 21.5)" in said
    assert "waiting for weather  2.5 days (1.0 to 4.3)" in said
    assert "troubles  less than 0.1 day" in said
    assert " 36.5 days (30.0 to 40.0)" in said


def test_labels_of_a_bar_with_every_part_fit() -> None:
    """Long ones at either end, too."""
    slices = [Slice(name, 3.0, 1.0, 10.0) for name in GROUPS]
    assert_inside(days_bar(slices, Slice("", 3.0 * len(GROUPS), 30.0, 90.0), "Title", "Note"))
    assert_inside(days_bar([Slice("pumping", 0.01, 0.0, 0.1)], Slice("", 0.01, 0.0, 0.1), "Title", "Note"))


def test_gains_are_drawn_largest_first_with_their_intervals() -> None:
    """A bar, its interval and its days for each; what may be chance is pale; losses are in another colour."""
    ax = gains(BARS, "Title", "Note")
    assert [bar.get_width() for bar in bars(ax)] == [5.0, 0.4, -1]
    assert [label.get_text() for label in ax.get_yticklabels()] == [bar.name for bar in BARS]
    lines = [tuple(line.get_xdata()) for line in ax.lines[:3]]
    assert lines == [(4.0, 6.0), (-0.1, 0.9), (-2, -0.5)]
    assert {"5.0", "0.4", "\N{MINUS SIGN}1.0", "a week"} <= set(words(ax))
    colours = [bar.get_facecolor() for bar in bars(ax)]
    assert len(set(colours)) == 3
    assert_inside(ax)


def test_a_week_is_marked_only_where_it_is_in_reach() -> None:
    """Else the bars would be squeezed for nothing."""
    assert "a week" not in words(gains(BARS[1:], "Title", "Note"))
