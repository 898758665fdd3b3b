"""The axis of dates, which all pictures share."""

from datetime import datetime, timedelta

import matplotlib as mpl
import pytest
from matplotlib.dates import num2date
from synthetic_pad import START

from analysis.figures import theme


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
