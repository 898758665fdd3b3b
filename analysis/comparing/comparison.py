"""Play several plans under the same luck, so that replication k of one can be set against replication k of another."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from analysis.measures import PadRow, measure
from analysis.observed import Observed
from analysis.pad_measures import PadMeasure, seen
from analysis.runs.kept_plays import Form, Kept, kept_in, nowhere, played
from analysis.runs.stopping import NothingPlayedError
from sim.cluster import Cluster
from sim.log import Log
from sim.replications import Chunk, chunks_of
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory

R = TypeVar("R")
TABLE = "compared"  # the pad in every replication of every plan
Plans = Mapping[str, Scenario]  # by name; the first is the plan as stated


@dataclass(frozen=True)
class Comparison:
    """Tables of the pad, one for each plan, with the same replications in the same order."""

    plans: Plans
    seed: int
    asked: int
    pads: Mapping[str, pd.DataFrame]

    @property
    def base(self) -> Scenario:
        """The plan as stated, whose start all dates count from."""
        return next(iter(self.plans.values()))

    @property
    def replications(self) -> int:
        """Replications played of every plan."""
        return len(next(iter(self.pads.values())))

    @property
    def interrupted(self) -> bool:
        """Whether the run was stopped before its end."""
        return self.replications < self.asked

    def seen(self, what: PadMeasure) -> dict[str, Observed]:
        """A measure of every plan."""
        return {name: observed_of(self.base, self.plans[name], pads, what) for name, pads in self.pads.items()}


def pad_row(log: Log) -> PadRow:
    """What is kept of a replication."""
    return measure(log).pad


def pad_table(rows: list[PadRow]) -> pd.DataFrame:
    """Rows of one plan as a table."""
    import pandas as pd

    return pd.DataFrame(rows, columns=list(PadRow._fields))


def observed_of(base: Scenario, plan: Scenario, pads: pd.DataFrame, what: PadMeasure) -> Observed:
    """A measure of one plan; dates count from the start of the base plan."""
    return seen(pads, what, plan.horizon, base.hours_at(plan.start))


def keeping(run: RunDirectory | None, plans: Iterable[str], chunks: Sequence[Chunk]) -> Kept[PadRow]:
    """What a directory keeps of these plans. Raises RunDirectoryError when a part of it is damaged."""
    return kept_in(run, Form(TABLE, "plan", _rows, _results), plans, chunks)


def _rows(plan: str, replications: range, results: Sequence[PadRow]) -> list[tuple[Any, ...]]:
    return [(row.replication, plan, *row[1:]) for row in results]


def _results(rows: pd.DataFrame) -> list[PadRow]:
    return [PadRow(*row) for row in rows.drop(columns="plan").itertuples(index=False, name=None)]


def compare(
    plans: Plans,
    n: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    on_progress: Callable[[int], None] | None = None,
    kept: Kept[PadRow] | None = None,
) -> Comparison:
    """Play replications 0 to n - 1 of every plan. Ctrl-C ends the run; what all plans have by then is kept.

    What is `kept` already is not played again, and progress is told of what is played.
    Raises NothingPlayedError when stopped before every plan had its first replications.
    """
    kept = kept or keeping(None, plans, chunks_of(n))
    rows = play_level(plans, n, seed, workers, dict.fromkeys(plans, pad_row), on_progress, kept)
    return Comparison(dict(plans), seed, n, {name: pad_table(each) for name, each in rows.items()})


def play_level(
    plans: Plans,
    n: int,
    seed: int,
    workers: int | Cluster,
    reduces: Mapping[str, Callable[[Log], R]],
    on_progress: Callable[[int], None] | None = None,
    kept: Kept[R] | None = None,
) -> dict[str, list[R]]:
    """What each replication of every plan was reduced to, by its own reduction; of every plan equally many.

    Raises NothingPlayedError when stopped before every plan had its first replications.
    """
    done: dict[int, dict[str, list[R]]] = {}
    kept = kept or nowhere(plans)
    try:
        for name, number, rows in played(kept, plans, chunks_of(n), seed, workers, reduces, on_progress):
            done.setdefault(number, {})[name] = rows
    except KeyboardInterrupt:
        pass
    level = [done[number] for number in sorted(done) if len(done[number]) == len(plans)]
    if not level:
        raise NothingPlayedError("stopped before every plan had its first replications")
    return {name: [row for chunk in level for row in chunk[name]] for name in plans}
