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
from sim.scenario.weather import Spells


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
    """Spells by turns, each with the mean of the month in which it begins.

    What is left of a spell at hour zero is as long as a whole one, for exponential lengths have no memory.
    """
    spell = spells.at(start)
    is_bad = stream.random() * (spell.good + spell.bad) < spell.bad
    at_h = 0.0
    while at_h < horizon_h:
        spell = spells.at(start + timedelta(hours=at_h))
        end_h = at_h + (spell.bad if is_bad else spell.good) * stream.standard_exponential()
        if is_bad and end_h > at_h:
            yield at_h, min(end_h, horizon_h)
        at_h, is_bad = end_h, not is_bad
