"""Where the days of a milestone go: each part of the chain over all replications, with intervals, adding up."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.chains.chain import Chain, PieceRow
from analysis.chains.chain_groups import GROUPS, KINDS, group_of, kind_of, wording
from analysis.goals import Goal
from analysis.statistics import (
    MeanEstimate,
    QuantileEstimate,
    ShareEstimate,
    mean_interval,
    quantile_interval,
    share_interval,
)
from sim.scenario.scenario import Scenario

CHANCES = (0.1, 0.5, 0.9)
TRIFLE_DAYS = 0.05  # a mean below it would read 0.0
FIXED = 0.2  # tenths of a day by which rather others are rounded the other way
NO_UNIT = "no unit needed"

Days = NDArray[np.float64]


class Part(NamedTuple):
    """Days on the chain that go to one thing, over the replications that reached the milestone.

    `shown` is the mean in tenths of a day, rounded so that the parts of a table add up to its total. `on_chain` is
    the share of replications in whose chain it is at all.
    """

    name: str
    mean: MeanEstimate
    quantiles: tuple[QuantileEstimate, ...]
    on_chain: ShareEstimate
    shown: int = 0


@dataclass(frozen=True)
class WhereDaysGo:
    """The chain to one milestone over all replications.

    `dates` are hours from the start over all that were played, infinite beyond the horizon. All else is over those that
    reached the milestone: `days` is the whole span; None where none did.
    `kinds` holds the parts by kind, `groups` those of the picture, `units` those by unit; each adds up to the span.
    `last_wells` counts the wells in which the milestone was reached.
    """

    scenario: Scenario
    goal: Goal
    seed: int
    asked: int
    played: int
    reached: int
    dates: tuple[QuantileEstimate, ...]
    days: Part | None
    kinds: Mapping[str, tuple[Part, ...]]
    groups: tuple[Part, ...]
    units: tuple[Part, ...]
    last_wells: tuple[tuple[str, int], ...]

    @property
    def interrupted(self) -> bool:
        """Whether the run was stopped before its end."""
        return self.played < self.asked


def where_days_go(scenario: Scenario, goal: Goal, seed: int, asked: int, chains: Sequence[Chain]) -> WhereDaysGo:
    """Reduce the chains of all replications to what is told of them."""
    reached = [chain for chain in chains if chain.end.reached_h < inf]
    wells = tuple(Counter(chain.end.well for chain in reached).most_common())
    hours = [chain.end.reached_h for chain in chains]
    dates = tuple(quantile_interval(hours, chance) for chance in CHANCES)
    run = (scenario, goal, seed, asked, len(chains), len(reached), dates)
    if not reached:
        return WhereDaysGo(*run, None, {}, (), (), ())
    total = _part("", np.array([chain.end.reached_h / 24 for chain in reached]))
    tenths = round(10 * total.mean.mean)
    return WhereDaysGo(
        *run,
        total._replace(shown=tenths),
        _by_kind(reached, tenths),
        _adding_up(_in_order(_days_by(reached, lambda piece: group_of(piece.kind, piece.reason))), tenths),
        _adding_up(_largest_first(_days_by(reached, lambda piece: piece.unit or NO_UNIT)), tenths),
        wells,
    )


def _days_by(chains: Sequence[Chain], name: Callable[[PieceRow], str]) -> dict[str, Days]:
    """Days of each replication by name; none where a chain does without."""
    days: dict[str, Days] = defaultdict(lambda: np.zeros(len(chains)))
    for number, chain in enumerate(chains):
        for piece in chain.pieces:
            days[name(piece)][number] += piece.hours / 24
    return dict(days)


def _part(name: str, days: Days) -> Part:
    quantiles = tuple(quantile_interval(days, chance) for chance in CHANCES)
    on_chain = share_interval(int(np.count_nonzero(days)), len(days))
    return Part(name, mean_interval(days), quantiles, on_chain)


def _by_kind(chains: Sequence[Chain], tenths: int) -> dict[str, tuple[Part, ...]]:
    """Parts of each kind, largest first, trifles together."""
    units: dict[tuple[str, str], set[str]] = defaultdict(set)
    for chain in chains:
        for piece in chain.pieces:
            units[piece.kind, piece.reason].add(piece.unit)
    words = {what: wording(*what, sorted(names)) for what, names in units.items()}
    kinds: dict[str, list[Part]] = {}
    for kind in KINDS:
        own = [what for what in units if kind_of(*what) == kind]
        days = _days_by(_only(chains, own), lambda piece: words[piece.kind, piece.reason])
        if days:
            kinds[kind] = _largest_first(_trifles_together(days))
    rounded = iter(_adding_up([part for parts in kinds.values() for part in parts], tenths))
    return {kind: tuple(next(rounded) for _ in parts) for kind, parts in kinds.items()}


def _only(chains: Sequence[Chain], kept: Sequence[tuple[str, str]]) -> list[Chain]:
    return [
        chain._replace(pieces=[piece for piece in chain.pieces if (piece.kind, piece.reason) in kept])
        for chain in chains
    ]


def _trifles_together(days: dict[str, Days]) -> dict[str, Days]:
    small = [name for name, each in days.items() if each.mean() < TRIFLE_DAYS]
    if len(small) < 2:
        return days
    kept = {name: each for name, each in days.items() if name not in small}
    return kept | {f"{len(small)} smaller ones": np.sum([days[name] for name in small], axis=0)}


def _largest_first(days: Mapping[str, Days]) -> list[Part]:
    parts = [_part(name, each) for name, each in days.items()]
    return sorted(parts, key=lambda part: (part.name.endswith("smaller ones"), -part.mean.mean, part.name))


def _in_order(days: Mapping[str, Days]) -> list[Part]:
    return [_part(name, days[name]) for name in GROUPS if name in days]


def _adding_up(parts: Sequence[Part], tenths: int) -> tuple[Part, ...]:
    """The parts with means in tenths of a day that add up.

    Where rounding leaves a tenth over, it goes to whoever it moves least, and rather not to one that is the same in
    every replication, whose percentiles would show another number.
    """
    exact = [10 * part.mean.mean for part in parts]
    shown = [round(each) for each in exact]
    missing = tenths - sum(shown)
    step = 1 if missing > 0 else -1
    fixed = [FIXED if part.quantiles[0].value == part.quantiles[-1].value else 0.0 for part in parts]
    by_error = sorted(range(len(parts)), key=lambda k: step * (shown[k] - exact[k]) + fixed[k])
    for number in by_error[: abs(missing)]:
        shown[number] += step
    return tuple(part._replace(shown=each) for part, each in zip(parts, shown, strict=True))
