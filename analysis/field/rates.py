"""How often troubles strike, and what each costs, against what the plan says of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from analysis.field.attempts import strikes_of
from analysis.field.jobs import WHAT
from analysis.field.quantities import TIME, Quantity, split
from analysis.field.reading import FieldLog
from analysis.field.updating import Rate, update_chance, update_every
from sim import activities
from sim.scenario.scenario import Scenario
from sim.scenario.troubles import Trouble

if TYPE_CHECKING:
    import pandas as pd

WAITS = frozenset(
    {
        *activities.WAITING_FOR.values(),
        "fracturing",
        activities.ARRIVAL,
        activities.ON_CALL,
        activities.WATER,
        activities.FACILITY,
        activities.FRAC_STACK,
        activities.OUTSIDE_HOURS,
        activities.WEATHER,
        activities.CREW_CHANGE,
    }
)


class TroubleRate(NamedTuple):
    """How often one trouble struck: in so many jobs, or in so many hours of work (then `jobs` is 0)."""

    name: str
    strikes: int
    jobs: int
    hours: float
    prior: float
    rate: Rate

    @property
    def by_chance(self) -> bool:
        """Whether it is a chance for each job, not a mean time between strikes."""
        return self.jobs > 0

    @property
    def planned_never(self) -> bool:
        """Whether the plan states a chance of 0, which weighs nothing beside the field."""
        return self.by_chance and self.prior == 0

    @property
    def path(self) -> str:
        """Where it stands in the scenario."""
        return f"troubles.{self.name}.{'chance' if self.by_chance else 'every'}"


class Unplanned(NamedTuple):
    """A cause of lost hours that the plan does not know."""

    cause: str
    hours: float
    rows: int


def rates_of(log: FieldLog, jobs: pd.DataFrame, scenario: Scenario, strikes_worth: float) -> list[TroubleRate]:
    """A rate for each trouble of the plan whose activity is in the log. What multiplies all of them is taken out."""
    strikes, found = strikes_of(log, frozenset(scenario.activity_troubles)), []
    for name, trouble in scenario.activity_troubles.items():
        own = jobs[jobs["activity"] == trouble.strikes]
        if len(own) and scenario.trouble_factor > 0:
            struck = _struck(own, strikes[strikes["name"] == name])
            found += _rate(name, trouble, own.assign(struck=struck), scenario.trouble_factor, strikes_worth)
    return found


def _struck(own: pd.DataFrame, strikes: pd.DataFrame) -> pd.Series[int]:
    """How often each of the jobs was struck."""
    counts = strikes.groupby(WHAT).size().rename("struck")
    return own.join(counts, on=WHAT)["struck"].fillna(0).astype(int)


def _rate(name: str, trouble: Trouble, own: pd.DataFrame, factor: float, strikes_worth: float) -> list[TroubleRate]:
    struck = int(own["struck"].sum())
    if trouble.every is not None:
        hours, prior_h = float(own["worked_h"].sum()), trouble.every / factor
        if hours <= 0:
            return []
        return [TroubleRate(name, struck, 0, hours, prior_h, update_every(prior_h, strikes_worth, struck, hours))]
    tries = max(_trials(own), struck)
    if not tries:
        return []
    prior = min((trouble.chance or 0.0) * factor, 1.0)
    return [TroubleRate(name, struck, tries, 0.0, prior, update_chance(prior, strikes_worth, struck, tries))]


def _trials(own: pd.DataFrame) -> int:
    """Attempts of which it is known whether they were struck: all that are over, and of jobs under way those struck.

    Without the latter a chance would come out too low: a struck job takes longer, so that a log is likelier to end
    in it than in another.
    """
    under_way = (own["tries"] - 1).clip(lower=own["struck"])
    return int(own["tries"].where(~own["open"], under_way).sum())


def losses_of(log: FieldLog, scenario: Scenario) -> Iterator[Quantity]:
    """Hours that each strike costs; those of a strike under way are unfinished."""
    strikes = strikes_of(log, frozenset(scenario.activity_troubles))
    for name, trouble in scenario.activity_troubles.items():
        own = strikes[(strikes["name"] == name) & (strikes["activity"] == trouble.strikes)]
        done, unfinished = split(own.assign(ended=~own["open"]))
        path = f"troubles.{name}.lost"
        yield Quantity(f"{name}, hours lost", trouble.strikes, TIME, (path,), trouble.lost, done, unfinished)


def unplanned(log: FieldLog, scenario: Scenario) -> list[Unplanned]:
    """Causes in the log that are no wait and no trouble of the plan, the costliest first."""
    kinds = log.rows["cause"].str.partition(":")[0]  # a wait may say more after a colon, such as which source
    strange = log.rows[(kinds != "") & ~kinds.isin(WAITS) & ~log.rows["cause"].isin(set(scenario.troubles))]
    hours = (strange["end_h"].fillna(log.until_h) - strange["start_h"]).groupby(strange["cause"])
    found = [Unplanned(str(cause), float(own.sum()), len(own)) for cause, own in hours]
    return sorted(found, key=lambda each: -each.hours)
