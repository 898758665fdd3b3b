"""A forecast that is played until a date is known as precisely as asked, or until a ceiling of replications.

Replications are looked at in their order at fixed counts, so where the run stops depends on neither workers nor chunks.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Generator
from contextlib import closing
from dataclasses import dataclass
from itertools import takewhile
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.comparing.comparison_wording import span_text
from analysis.forecasting.control_variates import ControlledMean, controlled_mean, controls_of
from analysis.forecasting.forecast import TABLES, Forecast, write_parts
from analysis.forecasting.precision import CLAIMED, LOOKED_AT, Precision, Target, looks, precision
from analysis.measures import Measures, PadRow
from analysis.pricing.amounts import measure_for
from analysis.runs.kept_plays import in_order
from analysis.runs.parts import Parts
from analysis.runs.run_directory import read_parts
from analysis.runs.stopping import NothingPlayedError, to_its_end
from analysis.wording import date_text
from sim.cluster import Cluster
from sim.replications import Chunk, play
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    from analysis.runs.run_directory import RunDirectory

CHUNK = 25  # replications; looks fall between chunks


@dataclass(frozen=True)
class Sized:
    """A forecast, what was asked of it, and how precisely that is known; `factor` is what control variates cut."""

    forecast: Forecast
    target: Target
    most: int
    precision: Precision
    factor: float

    @property
    def reached(self) -> bool:
        """Whether the target was met."""
        return self.precision.within_h <= self.target.within_h

    def answer(self) -> str:
        """What was reached, in a sentence or two."""
        target, found = self.target, self.precision
        scenario, n = self.forecast.scenario, f"{found.replications:,} replications"
        what = f"{target.statistic} of {target.milestone.name}"
        asked = f"{span_text(target.within_h)} was asked for"
        if found.within_h == np.inf:
            known = f"{what} is not known within any bounds after {n}; {asked}"
            return f"{known}. {self._why_not()}"
        known = f"{what}, {date_text(scenario, found.value_h)}, is known within {span_text(found.within_h)}"
        known = f"{known} with 95 % confidence after {n}; {asked}"
        cut = f" Known luck of flowback hours cut its variance {self.factor:.2f}-fold." if self.factor > 1 else ""
        return f"{known}.{cut}" if self.reached else f"{known}. {self._why_not()}{cut}"

    def _why_not(self) -> str:
        if self.forecast.interrupted:
            return "The run was stopped before that."
        return f"The ceiling of {self.most:,} replications came first: state a higher --at-most, or ask for less."

    def as_data(self) -> dict[str, Any]:
        """The same as plain data, in hours."""
        return {
            "statistic": self.target.statistic,
            "milestone": self.target.milestone.name,
            "asked_within_hours": self.target.within_h,
            "at_most": self.most,
            "reached": self.reached,
            "known_within_hours": self.precision.within_h,
            "low_hours": self.precision.low_h,
            "high_hours": self.precision.high_h,
            "confidence": CLAIMED,
            "variance_cut": self.factor,
        }


def chunks_until(most: int) -> list[Chunk]:
    """Replications in chunks between which looks fall; more of them only add chunks, but for the last."""
    return [(k, range(first, min(first + CHUNK, most))) for k, first in enumerate(range(0, most, CHUNK))]


def forecast_until(
    scenario: Scenario,
    target: Target,
    most: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    run: RunDirectory | None = None,
    on_progress: Callable[[int], None] | None = None,
    done: Collection[int] = (),
) -> Sized:
    """Play until the target is met, or `most` replications. Ctrl-C ends the run with what was done by then.

    Parts of tables are written to `run` as they count, hence in their order. Of the chunks `done` that are there those
    up to the first gap are read and not played again. Raises NothingPlayedError when stopped at once.
    """
    parts, counted, pads = Parts(run), list[int](), list[PadRow]()
    stopped, due = False, looks(most)
    try:
        for number, rows, results in _in_order(scenario, most, seed, workers, run, done):
            with to_its_end():
                if results:
                    write_parts(parts, number, results)
                counted.append(number)
                pads += rows
            if on_progress is not None and results:
                on_progress(len(rows))
            if len(pads) >= due[0]:
                due.pop(0)
                if _known(scenario, target, seed, pads)[0].within_h <= target.within_h:
                    break
    except KeyboardInterrupt:
        stopped = True
    if not counted:
        raise NothingPlayedError("stopped before the first replications were done")
    known, factor = _known(scenario, target, seed, pads)
    frames = {table: parts.frame(table, counted) for table in TABLES}
    return Sized(Forecast(scenario, seed, most if stopped else len(pads), **frames), target, most, known, factor)


Counting = Generator[tuple[int, list[PadRow], list[Measures]]]  # chunk, its pads, and what was played for it


def _in_order(
    scenario: Scenario, most: int, seed: int, workers: int | Cluster, run: RunDirectory | None, done: Collection[int]
) -> Counting:
    """Chunks of replications in their order: those that are there up to the first gap, then others as they end."""
    chunks = chunks_until(most)
    there = list(takewhile(lambda chunk: chunk[0] in done, chunks))
    for number, _ in there:
        assert run is not None
        found = read_parts("pads", [run.parts("pads")[number]])
        yield number, [PadRow(*row) for row in found.itertuples(index=False, name=None)], []
    left = chunks[len(there) :]
    arriving = play({"": scenario}, left, seed, workers, measure_for(scenario))
    with closing(in_order(arriving, [""], left)) as ordered:
        for number, of_plans in ordered:
            yield number, [each.pad for each in of_plans[""]], of_plans[""]


def _known(scenario: Scenario, target: Target, seed: int, pads: list[PadRow]) -> tuple[Precision, float]:
    """How precisely the target is known, a mean with the help of control variates; and by how much those helped."""
    hours = np.array([getattr(pad, target.milestone.column) for pad in pads])
    if target.chance is not None or not np.isfinite(hours).all():
        return precision(hours, target), 1.0
    controls = controls_of(scenario, (pad.replication for pad in pads), seed)
    mean: ControlledMean = controlled_mean(hours, *controls, LOOKED_AT)
    return Precision(mean.mean, mean.low, mean.high, len(hours)), mean.factor
