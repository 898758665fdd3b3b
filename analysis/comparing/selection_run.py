"""Play plans under the same luck until one of them is chosen, and none longer than it may still be the best.

All plans left are played in chunks, decided on replication by replication in their order, so the outcome depends on
neither workers nor chunks. When plans are dropped the rest go on without them.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.asked import NotUnderstoodError
from analysis.comparing.comparison import Plans, keeping, observed_of, pad_row, pad_table
from analysis.comparing.selection import FIRST, Selection, rinott_constant, select, two_stage_sizes
from analysis.measures import PadRow
from analysis.pad_measures import PadMeasure
from analysis.runs.kept_plays import Kept, played_in_order
from analysis.runs.stopping import NothingPlayedError
from sim.cluster import Cluster
from sim.replications import Chunk

CHUNK = 10  # replications: with few, little is played of plans that are as good as dropped
Rows = dict[str, list[PadRow]]
Hear = Callable[[int], None]


class Rule(NamedTuple):
    """What is chosen by, and how surely: the indifference is in the units of the measure (hours for dates)."""

    measure: PadMeasure
    indifference: float
    confidence: float
    most: int  # replications of any plan


@dataclass(frozen=True)
class Race:
    """Plans played until decided.

    `values` has a row for each replication and a column for each plan, NaN where not played; `stopped` tells of Ctrl-C.
    """

    plans: Plans
    rule: Rule
    seed: int
    values: NDArray[np.float64]
    selection: Selection
    stopped: bool

    @property
    def names(self) -> list[str]:
        """The plans, the base plan first."""
        return list(self.plans)

    @property
    def chosen(self) -> str | None:
        """The plan chosen, if it is decided."""
        return None if self.selection.chosen is None else self.names[self.selection.chosen]

    @property
    def played(self) -> dict[str, int]:
        """Replications of each plan."""
        return dict(zip(self.names, (~np.isnan(self.values)).sum(axis=0).tolist(), strict=True))

    @property
    def saved(self) -> int:
        """Replications less than if all plans had been played to the end."""
        return len(self.values) * len(self.names) - sum(self.played.values())

    @property
    def without_common_luck(self) -> int:
        """Replications that a two-stage procedure (Rinott) would ask for of independent runs, by the first of these."""
        h = rinott_constant(len(self.names), FIRST, self.rule.confidence)
        variances = self.values[:FIRST].var(axis=0, ddof=1)
        return int(two_stage_sizes(variances, h, self.rule.indifference, FIRST).sum())

    def behind(self, name: str, other: str) -> float:
        """How much worse than another a plan is in the mean of the replications that both have."""
        a, b = (self.values[:, self.names.index(each)] for each in (name, other))
        return float(np.nanmean(a - b)) * (-1 if self.rule.measure.larger_is_better else 1)


def chunks_to(most: int) -> list[Chunk]:
    """Replications in chunks between which is decided; more of them only add chunks, but for the last."""
    return [(k, range(first, min(first + CHUNK, most))) for k, first in enumerate(range(0, most, CHUNK))]


def race(
    plans: Plans,
    rule: Rule,
    seed: int = 0,
    workers: int | Cluster = 1,
    on_progress: Hear | None = None,
    kept: Kept[PadRow] | None = None,
) -> Race:
    """Play until a plan is chosen, or until the plans left have all been played `rule.most` times.

    What is `kept` already is not played again, and progress is told of what is played.

    Raises NotUnderstoodError where a plan that is still in has work unfinished at the horizon, for then there are no
    means to choose by; NothingPlayedError when stopped before there was anything to decide on.
    """
    chunks = chunks_to(rule.most)
    kept = kept or keeping(None, plans, chunks)
    played: dict[str, list[PadRow]] = {name: [] for name in plans}
    selection, stopped = Selection(None, tuple(range(len(plans))), {}, None), False
    try:
        while selection.chosen is None and chunks:
            selection, chunks = _leg(plans, rule, seed, workers, played, selection, chunks, on_progress, kept)
    except KeyboardInterrupt:
        stopped = True
    if min(map(len, played.values())) < FIRST:
        raise NothingPlayedError("stopped before there was anything to decide on")
    return Race(dict(plans), rule, seed, _values(plans, rule, played), selection, stopped)


def _leg(
    plans: Plans,
    rule: Rule,
    seed: int,
    workers: int | Cluster,
    played: Rows,
    selection: Selection,
    chunks: list[Chunk],
    hear: Hear | None,
    kept: Kept[PadRow],
) -> tuple[Selection, list[Chunk]]:
    """Play the plans that are left until that changes; the new state, and the chunks still to play."""
    names = list(plans)
    left = {names[plan]: plans[names[plan]] for plan in selection.left}
    done = 0
    with closing(played_in_order(kept, left, chunks, seed, workers, pad_row, hear)) as arriving:
        for rows in arriving:
            done += 1
            for name, of_plan in rows.items():
                played[name] += of_plan
            decided = _decide(plans, rule, played, selection)
            if decided.left != selection.left or decided.chosen is not None:
                return decided, chunks[done:]
            selection = decided
    return selection, []


def _decide(plans: Plans, rule: Rule, played: Rows, before: Selection) -> Selection:
    if min(map(len, played.values())) < FIRST:
        return before
    values = _values(plans, rule, played)
    _refuse_unfinished(plans, rule, values, before)
    return select(values, rule.indifference, rule.confidence, larger_is_better=rule.measure.larger_is_better)


def _values(plans: Plans, rule: Rule, played: Rows) -> NDArray[np.float64]:
    """A column for each plan; +inf where unfinished, NaN where not played."""
    base = next(iter(plans.values()))
    table = np.full((max(map(len, played.values())), len(plans)), np.nan)
    for column, (name, rows) in enumerate(played.items()):
        found = observed_of(base, plans[name], pad_table(rows), rule.measure)
        table[: len(rows), column] = np.where(found.known, found.low, np.inf)
    return table


def _refuse_unfinished(plans: Plans, rule: Rule, values: NDArray[np.float64], before: Selection) -> None:
    names = list(plans)
    unfinished = {names[plan]: int(np.isinf(values[:, plan]).sum()) for plan in before.left}
    problems = [
        f"--select: '{name}' is unfinished at its horizon in {count} of the first {len(values)} replications, so there "
        f"is no mean of {rule.measure.name} to choose by; state a later horizon, or compare without --select: chances "
        "and ranks hold all the same"
        for name, count in unfinished.items()
        if count
    ]
    if problems:
        raise NotUnderstoodError(problems)
