"""What a date depends on: inputs that are not known, screened, then weighed against each other and against luck."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.runs.kept_points import keeping
from analysis.runs.point_rows import SCREENING, SHARES, SWINGS
from analysis.runs.run_directory import RunDirectory
from analysis.statistics import MeanEstimate, mean_interval, quantile
from analysis.studies.chosen_milestone import Chosen
from analysis.studies.paths_in_plan import plans_of, with_values
from analysis.studies.quantile_functions import value_at
from analysis.studies.sensitivity import Effects, Play, Shares, screening, screening_rows, shares_rows, variance_shares
from analysis.studies.sweep import played_alike
from sim.log import Log
from sim.pad import simulate
from sim.pool import carry_out
from sim.replications import Chunk, chunks_of
from sim.scenario import Document, Scenario, paths
from sim.scenario.uncertain import Uncertain

Array = NDArray[np.float64]

SOURCE = "uncertain"
TRAJECTORIES = 12
TRIFLE = 0.02  # of the largest effect: what stays below it even at the upper end of its interval is held
LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
ROWS_A_TASK = 20


class BeyondHorizonError(Exception):
    """The milestone is not always reached, so that its date has no variance."""


class Swing(NamedTuple):
    """The mean date, hours, with one input at its 10 % and its 90 % quantile and all others at their middle.

    `change` is from the one to the other under the same luck.
    """

    values: tuple[Any, Any]
    low: MeanEstimate
    high: MeanEstimate
    change: MeanEstimate


@dataclass(frozen=True)
class Drivers:
    """What was found. `shares` and `kept` leave out the inputs that screening dismissed."""

    scenario: Scenario
    milestone: str
    inputs: tuple[Uncertain, ...]
    effects: Effects
    kept: tuple[int, ...]
    shares: Shares | None
    swings: tuple[Swing, ...]
    middle: MeanEstimate
    luck_span: tuple[float, float]
    luck_taken: tuple[str, ...]
    plays: int
    seed: int


@dataclass(frozen=True)
class Question:
    """What is asked of which plan, and with how many plays."""

    document: Document
    inputs: tuple[Uncertain, ...]
    milestone: Chosen
    base: int
    replications: int
    seed: int
    workers: int

    @property
    def most_plays(self) -> int:
        """Plays if screening dismisses nothing."""
        k = len(self.inputs)
        return screening_rows(k, TRAJECTORIES) + shares_rows(k, self.base) + (2 * k + 1) * self.replications

    def values(self, chances: Sequence[float]) -> dict[str, Any]:
        """The value of every input that is not exceeded with its chance, as it would be written."""
        pairs = zip(self.inputs, chances, strict=True)
        return {each.path: each.value(float(value_at(each.shape, chance))) for each, chance in pairs}


def swings_of(question: Question) -> tuple[list[str], list[Chunk]]:
    """The plans of the swings, the middle first and then both ends of each input, and their chunks."""
    return [str(number) for number in range(2 * len(question.inputs) + 1)], chunks_of(question.replications)


def find_drivers(
    question: Question, on_progress: Callable[[int], None] = lambda _: None, run: RunDirectory | None = None
) -> Drivers:
    """Screen all inputs, weigh those that count, and swing each one alone.

    What was played is kept in `run`; what is there already is not played again, and progress is told of what is.

    Raises ScenarioError where a drawn plan cannot be, and BeyondHorizonError where the milestone is not always reached.
    """
    everything = range(len(question.inputs))
    play = partial(_played, question, on_progress, run)
    swings, middle, luck_span = _swings(question, on_progress, run)
    effects = screening(len(question.inputs), TRAJECTORIES, question.seed, partial(play, SCREENING, tuple(everything)))
    kept = notable(effects)
    shares = _weighed(question, kept, partial(play, SHARES, kept)) if kept else None
    held = len(question.inputs) - len(kept)
    plays = question.most_plays - (question.base * held if kept else shares_rows(held, question.base))
    scenario = with_values(question.document, {}, SOURCE)
    return Drivers(
        scenario, question.milestone.name, question.inputs, effects, kept, shares, swings, middle, luck_span,
        luck_taken(question), plays, question.seed,
    )  # fmt: skip


def luck_taken(question: Question) -> tuple[str, ...]:
    """Uncertain inputs where the plan states luck, a distribution that is drawn anew for every job."""
    inside = paths(question.document)  # a distribution has paths to its own numbers
    return tuple(each.path for each in question.inputs if any(path.startswith(f"{each.path}.") for path in inside))


def notable(effects: Effects) -> tuple[int, ...]:
    """The inputs that screening does not dismiss: whose effect may be 2 % of the largest or more."""
    largest = float(effects.size.max())
    most = effects.size + effects.half_width
    return tuple(int(k) for k in np.flatnonzero(most >= TRIFLE * largest)) if largest > 0 else ()


def _weighed(question: Question, kept: tuple[int, ...], play: Play) -> Shares:
    return variance_shares(len(kept), question.base, question.seed, play)


def _played(
    question: Question,
    on_progress: Callable[[int], None],
    run: RunDirectory | None,
    table: str,
    varied: tuple[int, ...],
    chances: Array,
    luck: NDArray[np.int64],
) -> Array:
    """Hours of the milestone for each row; inputs that are not varied are at their middle.

    Every plan is checked before any is played.
    """
    whole = np.full((len(chances), len(question.inputs)), MIDDLE)
    whole[:, list(varied)] = chances
    rows, which = np.unique(whole, axis=0, return_inverse=True)
    plans = plans_of(question.document, [question.values(row.tolist()) for row in rows], SOURCE)
    plays = [(plans[plan], int(number)) for plan, number in zip(which.ravel(), luck, strict=True)]
    hours = np.empty(len(plays))
    for rows_of_it, results in _rows_played(question, plays, table, on_progress, run):
        hours[rows_of_it] = results
    _refuse_unfinished(question, hours)
    return hours


def _rows_played(
    question: Question,
    plays: list[tuple[Scenario, int]],
    table: str,
    on_progress: Callable[[int], None],
    run: RunDirectory | None,
) -> Iterator[tuple[range, list[float]]]:
    """Rows of a design, those that are there first; the others are kept as they end."""
    n = len(plays)
    chunks = [(k, range(first, min(first + ROWS_A_TASK, n))) for k, first in enumerate(range(0, n, ROWS_A_TASK))]
    kept, spans = keeping(run, table, [table], chunks), dict(chunks)
    there = {number for number, _ in kept.there([table], chunks)}
    for number in sorted(there):
        yield spans[number], kept.read(number, table)
    tasks = {
        number: partial(_play_rows, plays[rows.start : rows.stop], question.seed, question.milestone.read)
        for number, rows in chunks
        if number not in there
    }
    named = lambda number: f"points from number {spans[number].start} on"  # noqa: E731
    for number, results in carry_out(tasks, question.workers, named):
        kept.write(number, table, spans[number], results)
        on_progress(len(results))
        yield spans[number], results


def _play_rows(plays: list[tuple[Scenario, int]], seed: int, read: Callable[[Log], float]) -> list[float]:
    return [read(simulate(plan, number, seed)) for plan, number in plays]


def _refuse_unfinished(question: Question, hours: Array) -> None:
    unfinished = int(np.isinf(hours).sum())
    if unfinished:
        raise BeyondHorizonError(
            f"in {unfinished} of {hours.size} plays {question.milestone.name} is not reached by the horizon, and what "
            "is not reached has no variance; expected a longer horizon in the scenario, or narrower uncertain inputs"
        )


def _swings(
    question: Question, on_progress: Callable[[int], None], run: RunDirectory | None
) -> tuple[tuple[Swing, ...], MeanEstimate, tuple[float, float]]:
    """Each input alone at either end, all under the same luck; the middle, and what luck alone does there."""
    k = len(question.inputs)
    rows = [[MIDDLE] * k, *(_one_at(number, end, k) for number in range(k) for end in (LOW, HIGH))]
    points = [question.values(row) for row in rows]
    names, chunks = swings_of(question)
    plans = dict(zip(names, plans_of(question.document, points, SOURCE), strict=True))
    kept = keeping(run, SWINGS, names, chunks)
    hours = played_alike(
        plans, question.replications, question.seed, question.workers, question.milestone.read, on_progress, kept
    )
    if hours.shape[1] < question.replications:
        raise KeyboardInterrupt  # half a study is none
    _refuse_unfinished(question, hours)
    found = []
    for number, each in enumerate(question.inputs):
        low, high = hours[1 + 2 * number], hours[2 + 2 * number]
        values = (points[1 + 2 * number][each.path], points[2 + 2 * number][each.path])
        found.append(Swing(values, mean_interval(low), mean_interval(high), mean_interval(high - low)))
    return tuple(found), mean_interval(hours[0]), (quantile(hours[0], LOW), quantile(hours[0], HIGH))


def _one_at(number: int, end: float, k: int) -> list[float]:
    return [end if place == number else MIDDLE for place in range(k)]
