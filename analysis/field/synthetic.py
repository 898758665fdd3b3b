"""An invented stage log: one replication, written down as people do, with the slips that they make."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import datetime, timedelta
from io import StringIO
from typing import NamedTuple

from numpy.random import Generator

from sim import activities
from sim.chance.streams import own_generator
from sim.log import Interval
from sim.pad import simulate
from sim.scenario.scenario import Scenario

HEADINGS = ("start", "end", "unit", "activity", "well", "stage", "cause", "remarks")
MINUTES = 5  # to which people round
REMARKS = ("invented", "invented, crew of two, all well", "=invented", "invented; checked, no leak", "invented = demo")

Row = list[str]


class Slip(NamedTuple):
    """A mistake put into the log on purpose: its row in the sheet, and what it is."""

    row: int
    what: str


class InventedLog(NamedTuple):
    """The rows of a log as text, with the slips in them."""

    rows: list[Row]
    slips: list[Slip]

    def csv(self) -> str:
        """As a file."""
        text = StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerows([HEADINGS, *self.rows])
        return text.getvalue()


def invented_log(scenario: Scenario, seed: int, until: datetime | None = None, *, slips: bool = True) -> InventedLog:
    """One replication of the scenario as a log, up to a moment if one is given; what goes on then has no end yet.

    Times are rounded to five minutes; rows of no length are not written down. Coming on location is not work.
    """
    log = simulate(scenario, 0, seed)
    luck = own_generator(seed, 0, "invented log", "slips")
    done = sorted((row for row in log.intervals if row.activity != activities.ARRIVE), key=lambda row: row.start_h)
    texts = (_row(scenario, row, until, luck) for row in done)
    rows = [row for row in texts if row is not None]
    return InventedLog(rows, _slip(rows, luck) if slips and rows else [])


def _row(scenario: Scenario, row: Interval, until: datetime | None, luck: Generator) -> Row | None:
    start, end = (rounded(scenario.moment_at(hours)) for hours in (row.start_h, row.end_h))
    if start >= end or (until is not None and start >= until):
        return None
    going_on = row.end_h >= scenario.horizon or (until is not None and end > until)
    remark = REMARKS[int(luck.integers(len(REMARKS)))]
    stage = str(row.stage) if row.stage else ""
    return [_text(start), "" if going_on else _text(end), row.unit, row.activity, row.well, stage, row.cause, remark]


def rounded(moment: datetime) -> datetime:
    """To the nearest five minutes."""
    day = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    step = timedelta(minutes=MINUTES)
    return day + round((moment - day) / step) * step


def _text(moment: datetime) -> str:
    return moment.isoformat(sep=" ", timespec="minutes")


def _slip(rows: list[Row], luck: Generator) -> list[Slip]:
    """Make each kind of mistake once, in rows far from one another; rows are changed in place."""
    made: list[Slip] = []
    kinds: dict[str, Callable[[list[Row], int], bool]] = {
        "no end": _forget_end,
        "misspelt well": _misspell,
        "overlaps": _overlap,
        "day and month the other way round": _swap_day,
    }
    for what, make in kinds.items():
        for place in luck.permutation(len(rows)):
            if all(abs(place - slip.row) > len(rows) // 20 for slip in made) and make(rows, int(place)):
                made.append(Slip(int(place), what))
                break
    twice = int(luck.integers(len(rows)))
    rows.append(list(rows[twice]))
    return [Slip(slip.row + 2, slip.what) for slip in made] + [Slip(len(rows) + 1, "written twice")]


def _following(rows: list[Row], place: int) -> Row | None:
    return next((row for row in rows[place + 1 :] if row[2] == rows[place][2] != ""), None)


def _forget_end(rows: list[Row], place: int) -> bool:
    if _following(rows, place) is None or not rows[place][1]:
        return False
    rows[place][1] = ""
    return True


def _misspell(rows: list[Row], place: int) -> bool:
    well = rows[place][4]
    if len(well) < 4 or not rows[place][1]:
        return False
    rows[place][4] = well[:2] + well[3:]
    return True


def _overlap(rows: list[Row], place: int) -> bool:
    """Let the row go on for half an hour into the next of its unit."""
    following = _following(rows, place)
    if following is None or not rows[place][1] or not following[1] or not _lasts(following, 1.0):
        return False
    rows[place][1] = _text(datetime.fromisoformat(rows[place][1]) + timedelta(minutes=30))
    return True


def _lasts(row: Row, hours: float) -> bool:
    return datetime.fromisoformat(row[1]) - datetime.fromisoformat(row[0]) > timedelta(hours=hours)


def _swap_day(rows: list[Row], place: int) -> bool:
    start = datetime.fromisoformat(rows[place][0])
    end = datetime.fromisoformat(rows[place][1]) if rows[place][1] else start
    if not rows[place][2] or start.date() != end.date() or start.day > 12 or start.day == start.month or end == start:
        return False
    rows[place][:2] = [_text(each.replace(month=each.day, day=each.month)) for each in (start, end)]
    return True
