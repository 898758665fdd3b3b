"""Spells of good and bad weather: the two-state chain fitted to a series, and spells drawn by turns.

A series of days that is good or bad with chances that depend only on the day before has spells of geometric length;
the spells drawn here are exponential with the same means, so bad weather takes the same share of time.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np
from numpy.random import Generator
from numpy.typing import ArrayLike, NDArray

from sim.chance.windows import Window
from sim.scenario.weather_spells import Spell, Spells


class TwoState(NamedTuple):
    """A two-state chain: `p01` the chance that bad weather follows good, `p11` that bad weather goes on."""

    p01: float
    p11: float

    @property
    def mean_good(self) -> float:
        """Mean length of a good spell, in rows of the series."""
        return 1 / self.p01

    @property
    def mean_bad(self) -> float:
        """Mean length of a bad spell, in rows of the series."""
        return 1 / (1 - self.p11)

    @property
    def share_bad(self) -> float:
        """Share of bad weather in the long run."""
        return self.p01 / (self.p01 + 1 - self.p11)


def transitions(bad: ArrayLike) -> NDArray[np.int64]:
    """How often each kind of row is followed by each: good-good, good-bad; bad-good, bad-bad."""
    flags = np.asarray(bad, dtype=bool)
    counts = np.zeros((2, 2), dtype=np.int64)
    np.add.at(counts, (flags[:-1].astype(int), flags[1:].astype(int)), 1)
    return counts


def fit_spells(bad: ArrayLike) -> TwoState:
    """The chain that a series most likely comes from; hours of its spells are for `Spells` to state.

    Raises ValueError where the weather never turned from good to bad, or never back.
    """
    (_, worse), (better, _) = counts = transitions(bad)
    if worse == 0 or better == 0:
        turn = "good to bad" if worse == 0 else "bad to good"
        raise ValueError(f"no spells to be told: the weather never turns from {turn} in {np.size(bad):,} rows")
    p01, p11 = counts[:, 1] / counts.sum(axis=1)
    return TwoState(float(p01), float(p11))


def runs(bad: ArrayLike) -> NDArray[np.int64]:
    """First row, and row behind the last, of every bad spell: one pair a spell."""
    edges = np.diff(np.asarray(bad, dtype=np.int8), prepend=0, append=0)
    return np.flatnonzero(edges).reshape(-1, 2)


def drawn_spells(spells: Spells, start: datetime, horizon_h: float, stream: Generator) -> list[Window]:
    """Bad weather from hour zero to the horizon, which finds the weather as it is in the long run of its month."""
    return list(_bad(spells, start, horizon_h, stream))


def _bad(spells: Spells, start: datetime, horizon_h: float, stream: Generator) -> Iterator[Window]:
    """Spells by turns. One that lasts into a month of other means goes on there as long as a whole one would.

    The same holds at hour zero: exponential lengths have no memory.
    """
    at_h = since_h = 0.0
    first = spells.at(start)
    is_bad = stream.random() * (first.good + first.bad) < first.bad
    for spell, until_h in _stretches(spells, start, horizon_h):
        while at_h < until_h:
            at_h += (spell.bad if is_bad else spell.good) * stream.standard_exponential()
            if at_h < until_h:
                if is_bad and at_h > since_h:
                    yield since_h, at_h
                since_h, is_bad = at_h, not is_bad
        at_h = until_h
    if is_bad and horizon_h > since_h:
        yield since_h, horizon_h


def _stretches(spells: Spells, start: datetime, horizon_h: float) -> Iterator[tuple[Spell, float]]:
    """Which means are in force until when, in hours, up to the horizon."""
    month, spell = start, spells.at(start)
    while True:
        month = _first_of_next(month)
        ends_h = (month - start) / timedelta(hours=1)
        if ends_h >= horizon_h:
            yield spell, horizon_h
            return
        if spells.at(month) != spell:
            yield spell, ends_h
            spell = spells.at(month)


def _first_of_next(month: datetime) -> datetime:
    """Midnight at which the next month begins."""
    inside = month.replace(day=1, hour=0, minute=0, second=0, microsecond=0) + timedelta(days=31)
    return inside.replace(day=1)
