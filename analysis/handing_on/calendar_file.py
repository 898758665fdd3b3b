"""The plan as a calendar (RFC 5545): milestones and stays of units at their P50, with P10 and P90 in the text."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from hashlib import blake2b
from typing import TYPE_CHECKING

from analysis.forecasting.summary import Milestone, Summary
from analysis.handing_on.sheets import moment
from analysis.wording import CONVENTION, full_date

if TYPE_CHECKING:
    from icalendar import Calendar, Event

PRODUCT = "-//padtempo//plan of a well pad//EN"
HALF_HOUR = timedelta(minutes=30)  # a milestone is a moment; calendars show nothing shorter well


def calendar_bytes(summary: Summary) -> bytes:
    """The calendar as a file. Times are local and float, or belong to the zone of the scenario if it states one.

    An event keeps its identity from run to run, so that importing a new forecast moves it; what the P50 finds beyond
    the horizon is left out, and a stay that goes on beyond it ends there.
    """
    from icalendar import Calendar

    scenario = summary.forecast.scenario
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", scenario.title)
    for well, milestones in {"": summary.pad, **summary.wells}.items():
        for milestone in milestones:
            _add_milestone(calendar, summary, well, milestone)
    for unit, (arrives, leaves) in summary.visits.items():
        _add_stay(calendar, summary, unit, arrives, leaves)
    if scenario.time_zone is not None:
        calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _add_milestone(calendar: Calendar, summary: Summary, well: str, milestone: Milestone) -> None:
    at = moment(summary.forecast.scenario, milestone.quantiles[1].value)
    if isinstance(at, datetime):
        name = f"{well or summary.forecast.scenario.title}: {milestone.name.lower()}"
        chances = _chances(summary, milestone)
        calendar.add_component(_event(summary, f"{well}|{milestone.name}", name, (at, at + HALF_HOUR), chances))


def _add_stay(calendar: Calendar, summary: Summary, unit: str, arrives: Milestone, leaves: Milestone) -> None:
    scenario = summary.forecast.scenario
    begins, ends = (moment(scenario, visit.quantiles[1].value) for visit in (arrives, leaves))
    if not isinstance(begins, datetime):
        return
    if not isinstance(ends, datetime):
        ends = moment(scenario, scenario.horizon)  # nobody knows how much longer
    shortest = begins + HALF_HOUR
    ends = max(ends, shortest) if isinstance(ends, datetime) else shortest
    said = f"Arrives: {_chances(summary, arrives)}\nLeaves: {_chances(summary, leaves)}"
    if unit in summary.not_needed:
        said += f"\nNot needed in {summary.not_needed[unit]} of {summary.forecast.replications} replications"
    calendar.add_component(_event(summary, f"stay|{unit}", f"{unit} on location", (begins, ends), said))


def _chances(summary: Summary, milestone: Milestone) -> str:
    texts = [full_date(summary.forecast.scenario, quantile.value) for quantile in milestone.quantiles]
    words = ", ".join(f"{chance} {text}" for chance, text in zip(("P10", "P50", "P90"), texts, strict=True))
    late = milestone.unfinished
    return words + (f"; not reached in {late} of {milestone.replications} replications" if late else "")


def _event(summary: Summary, identity: str, name: str, span: tuple[datetime, datetime], said: str) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", _identity(summary.forecast.scenario.title, identity))
    event.add("dtstamp", _stamp(summary))
    event.add("dtstart", _placed(summary, span[0]))
    event.add("dtend", _placed(summary, span[1]))
    event.add("summary", name)
    event.add("description", f"{said}\n{CONVENTION}\nForecast of {summary.forecast.replications} replications.")
    event.add("transp", "TRANSPARENT")
    return event


def _identity(title: str, name: str) -> str:
    return f"{blake2b(f'{title}|{name}'.encode(), digest_size=12).hexdigest()}@padtempo"


def _stamp(summary: Summary) -> datetime:
    """RFC 5545 wants a moment of making in UTC; equal runs must leave equal bytes, so it is that of the start."""
    return summary.forecast.scenario.start.replace(tzinfo=UTC)


def _placed(summary: Summary, at: datetime) -> datetime:
    from zoneinfo import ZoneInfo

    zone = summary.forecast.scenario.time_zone
    return at if zone is None else at.replace(tzinfo=ZoneInfo(zone))
