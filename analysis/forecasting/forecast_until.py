"""A forecast that is played until a date is known as precisely as asked, or until a ceiling of replications.

Replications are looked at in their order at fixed counts, so where the run stops depends on neither workers nor chunks.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from analysis.comparing.comparison_wording import span_text
from analysis.forecasting.control_variates import ControlledMean, controlled_mean, controls_of
from analysis.forecasting.forecast import Forecast, NothingPlayedError, tables, write_parts
from analysis.forecasting.precision import CLAIMED, LOOKED_AT, Precision, Target, looks, precision
from analysis.measures import Measures
from analysis.pricing.amounts import measure_for
from analysis.runs.parts import Parts
from analysis.wording import date_text
from sim.cluster import Cluster
from sim.replications import play
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


def forecast_until(
    scenario: Scenario,
    target: Target,
    most: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    run: RunDirectory | None = None,
    on_progress: Callable[[int], None] | None = None,
) -> Sized:
    """Play until the target is met, or `most` replications. Ctrl-C ends the run with what was done by then.

    Parts of tables are written to `run` as they count. Raises NothingPlayedError when stopped at once.
    """
    results: list[Measures] = []
    stopped = False
    try:
        _play(scenario, target, most, seed, workers, run, results, on_progress)
    except KeyboardInterrupt:
        stopped = True
    if not results:
        raise NothingPlayedError("stopped before the first replications were done")
    known, factor = _known(scenario, target, seed, results)
    asked = most if stopped else len(results)
    return Sized(Forecast(scenario, seed, asked, **tables(results)), target, most, known, factor)


def _play(
    scenario: Scenario,
    target: Target,
    most: int,
    seed: int,
    workers: int | Cluster,
    run: RunDirectory | None,
    results: list[Measures],
    on_progress: Callable[[int], None] | None,
) -> None:
    due, parts = looks(most), Parts(run) if run is not None else None
    with closing(_in_order(scenario, most, seed, workers)) as arriving:
        for number, chunk in arriving:
            if parts is not None:
                write_parts(parts, number, chunk)
            results += chunk
            if on_progress is not None:
                on_progress(len(chunk))
            if len(results) >= due[0]:
                due.pop(0)
                if _known(scenario, target, seed, results)[0].within_h <= target.within_h:
                    return


def _in_order(
    scenario: Scenario, most: int, seed: int, workers: int | Cluster
) -> Generator[tuple[int, list[Measures]]]:
    """Chunks of replications in their order, each as soon as it and all before it are done."""
    chunks = [(k, range(first, min(first + CHUNK, most))) for k, first in enumerate(range(0, most, CHUNK))]
    done: dict[int, list[Measures]] = {}
    following = 0
    reduce = measure_for(scenario)
    playing = cast("Generator[tuple[str, int, list[Measures]]]", play({"": scenario}, chunks, seed, workers, reduce))
    with closing(playing) as arriving:
        for _, number, results in arriving:
            done[number] = results
            while following in done:
                yield following, done.pop(following)
                following += 1


def _known(scenario: Scenario, target: Target, seed: int, results: list[Measures]) -> tuple[Precision, float]:
    """How precisely the target is known, a mean with the help of control variates; and by how much those helped."""
    hours = np.array([getattr(result.pad, target.milestone.column) for result in results])
    if target.chance is not None or not np.isfinite(hours).all():
        return precision(hours, target), 1.0
    controls = controls_of(scenario, (result.pad.replication for result in results), seed)
    mean: ControlledMean = controlled_mean(hours, *controls, LOOKED_AT)
    return Precision(mean.mean, mean.low, mean.high, len(hours)), mean.factor
