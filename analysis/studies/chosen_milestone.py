"""Which date a study looks at: one milestone of the pad or of a well, read from each replication."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import NamedTuple

from analysis.forecasting.summary import PAD_MILESTONES, WELL_MILESTONES
from analysis.measures import measure, well_rows
from sim.log import Log
from sim.scenario.problems import did_you_mean

USUAL = "every well on production"
_PAD = {name.lower(): column for name, column in PAD_MILESTONES.items()}
_WELL = {name.lower(): column for name, column in WELL_MILESTONES.items()}


class UnknownMilestoneError(Exception):
    """No such milestone; the message says which there are."""


class Chosen(NamedTuple):
    """A milestone by its name, and what reads its hour, +inf where the horizon came first, from a log."""

    name: str
    read: Callable[[Log], float]


def chosen(name: str, wells: Iterable[str]) -> Chosen:
    """The milestone of this name: `first production`, or `Larkspur 3: drilled out` for one well."""
    well, colon, milestone = (part.strip() for part in name.rpartition(":"))
    names = {each.casefold(): each for each in wells}
    if not colon and name.strip().lower() in _PAD:
        return Chosen(name.strip().lower(), partial(_of_pad, _PAD[name.strip().lower()]))
    if colon and well.casefold() in names and milestone.lower() in _WELL:
        well = names[well.casefold()]
        return Chosen(f"{well}: {milestone.lower()}", partial(_of_well, well, _WELL[milestone.lower()]))
    of_wells = [f"{each}: {milestone}" for each in names.values() for milestone in _WELL]
    hint = did_you_mean(name, [*_PAD, *of_wells])
    known = f"{', '.join(_PAD)}; or of one well, such as '{next(iter(names.values()))}: {list(_WELL)[-1]}'"
    raise UnknownMilestoneError(f"no milestone is called '{name}'{hint}; expected one of {known}")


def _of_pad(column: str, log: Log) -> float:
    return float(getattr(measure(log).pad, column))


def _of_well(well: str, column: str, log: Log) -> float:
    return float(next(getattr(row, column) for row in well_rows(log) if row.well == well))
