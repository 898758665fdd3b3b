"""Run a scenario many times and gather what each replication was reduced to; keep it in a run directory if asked."""

from __future__ import annotations

from collections.abc import Callable, Collection
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from analysis.measures import AmountRow, Measures, PadRow, ShutInRow, UnitRow, VisitRow, WellRow
from analysis.pricing.amounts import measure_for
from analysis.runs.parts import Parts
from analysis.runs.stopping import NothingPlayedError, to_its_end
from analysis.supply_measures import ShortageRow, SupplyRow
from sim.cluster import Cluster
from sim.replications import chunks_of, play
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory


@dataclass(frozen=True)
class Forecast:
    """Tables of all replications, as `analysis.measures` names their columns."""

    scenario: Scenario
    seed: int
    asked: int
    pads: pd.DataFrame
    wells: pd.DataFrame
    units: pd.DataFrame
    visits: pd.DataFrame
    shut_ins: pd.DataFrame
    amounts: pd.DataFrame
    supplies: pd.DataFrame
    shortages: pd.DataFrame

    @property
    def replications(self) -> int:
        """Replications that were played."""
        return len(self.pads)

    @property
    def interrupted(self) -> bool:
        """Whether the run was stopped before its end."""
        return self.replications < self.asked


def forecast(
    scenario: Scenario,
    n: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    run: RunDirectory | None = None,
    on_progress: Callable[[int], None] | None = None,
    done: Collection[int] = (),
) -> Forecast:
    """Play `n` replications. Parts of the tables are written to `run` as they come, progress told in replications.

    Chunks that are `done` are there already, and not played again. Raises RunDirectoryError when a part cannot be
    written or read; what was written before stays whole. Raises NothingPlayedError when stopped at once.
    """
    parts, whole = Parts(run), set(done)
    chunks = [chunk for chunk in chunks_of(n) if chunk[0] not in whole]
    with suppress(KeyboardInterrupt):
        for _, chunk, results in play({"": scenario}, chunks, seed, workers, measure_for(scenario)):
            with to_its_end():
                write_parts(parts, chunk, results)
                whole.add(chunk)
            if on_progress is not None:
                on_progress(len(results))
    if not whole:
        raise NothingPlayedError("stopped before the first replications were done")
    return Forecast(scenario, seed, n, **{table: parts.frame(table, whole) for table in TABLES})


def write_parts(parts: Parts, chunk: int, results: list[Measures]) -> None:
    """Write what a chunk of replications was reduced to, a part for each table; that of the pads comes last."""
    for table, rows in _rows(results).items():
        parts.write(table, chunk, rows)


def tables(results: list[Measures]) -> dict[str, pd.DataFrame]:
    """Tables by name, rows in the order of replications."""
    import pandas as pd

    columns = {
        "wells": WellRow._fields,
        "units": UnitRow._fields,
        "visits": VisitRow._fields,
        "shut_ins": ShutInRow._fields,
        "amounts": AmountRow._fields,
        "supplies": SupplyRow._fields,
        "shortages": ShortageRow._fields,
        "pads": PadRow._fields,
    }
    return {table: pd.DataFrame(rows, columns=list(columns[table])) for table, rows in _rows(results).items()}


def _rows(results: list[Measures]) -> dict[str, list[Any]]:
    return {
        "wells": [row for result in results for row in result.wells],
        "units": [row for result in results for row in result.units],
        "visits": [row for result in results for row in result.visits],
        "shut_ins": [row for result in results for row in result.shut_ins],
        "amounts": [row for result in results for row in result.amounts],
        "supplies": [row for result in results for row in result.supplies],
        "shortages": [row for result in results for row in result.shortages],
        "pads": [result.pad for result in results],
    }


TABLES = tuple(_rows([]))
"""The tables that every chunk has a part of, that of the pads last."""


def representative(played: Forecast) -> int:
    """The replication in the middle, by the date of the last well on production."""
    ordered = played.pads.sort_values(["all_on_production_h", "fracturing_end_h", "replication"])
    return int(ordered["replication"].iloc[(len(ordered) - 1) // 2])
