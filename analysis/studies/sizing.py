"""The cheapest candidate that keeps a promise such as "90 % chance by 1 June", by ranking and selection.

All candidates are played under the same luck, in looks at 50, 100, 200, ... replications. At each look the count of
replications that kept the promise is held against the promised chance p by the exact binomial test, one side at a time:

    shown to keep it    P(Bin(n, p) >= kept) <= a        its chance is p or more
    shown to break it   P(Bin(n, p) <= kept) <= a        its chance is p or less

with a = 5 % / (candidates x looks). A candidate's chance lies on one side of p, so it can be misjudged in one way
only, and by Bonferroni's inequality all verdicts of the study are right with at least 95 % confidence, however the
candidates' luck hangs together. Nobody is dropped on a hunch: a candidate leaves when it is shown to break the promise,
or when two cheaper ones are shown to keep it, for then it is neither the answer nor the runner-up. Own procedure; the
tests are those behind Clopper and Pearson 1934, Biometrika 26, 404-413 (from memory).

Every candidate is listed, up to a stated number; a space larger than that would want an optimiser.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import product
from math import inf
from typing import Any

from analysis.runs.kept_plays import Kept, played
from analysis.runs.kept_points import keeping
from analysis.runs.point_rows import POINTS
from analysis.statistics import QuantileEstimate, ShareEstimate, quantile_interval, share_interval
from analysis.studies.chosen_milestone import Chosen
from analysis.studies.paths_in_plan import plans_of
from analysis.wording import full_date
from sim.cluster import Cluster
from sim.replications import Chunk
from sim.scenario import Document, Problem, Scenario, ScenarioError
from sim.scenario.choices import Choices
from sim.scenario.document import nearest, problem_at
from sim.scenario.written import as_written

SOURCE = "choices"
MOST_CANDIDATES = 200
DOUBT = 0.05
FIRST_LOOK = 50
IN_A_CHUNK = 25

KEEPS, BREAKS, OPEN, DEARER = "keeps it", "breaks it", "undecided", "dearer"


@dataclass
class Candidate:
    """One way to choose: its values by path, what it costs in all, and the hours of the milestone so far."""

    values: dict[str, Any]
    cost: float
    hours: list[float] = field(default_factory=list)
    verdict: str = OPEN
    doubt: float = 1.0  # chance of a count as extreme as this if the verdict were wrong

    def kept(self, by_h: float) -> int:
        """Replications that reached the milestone in time."""
        return sum(hour <= by_h for hour in self.hours)


@dataclass(frozen=True)
class Sized:
    """What the study found; candidates from the cheapest to the dearest."""

    scenario: Scenario
    choices: Choices
    currency: str
    candidates: tuple[Candidate, ...]
    looks: tuple[int, ...]
    seed: int

    @property
    def by_h(self) -> float:
        """The promised date, hours from the start."""
        return self.scenario.hours_at(self.choices.promise.by)

    @property
    def keepers(self) -> list[Candidate]:
        """Those shown to keep the promise, cheapest first."""
        return [each for each in self.candidates if each.verdict == KEEPS]

    def share(self, candidate: Candidate) -> ShareEstimate:
        """Share of replications in which a candidate kept the promise, with its own 95 % interval."""
        return share_interval(candidate.kept(self.by_h), len(candidate.hours))

    def date(self, candidate: Candidate) -> QuantileEstimate:
        """The date by which a candidate is done with the promised chance."""
        return quantile_interval(candidate.hours, self.choices.promise.chance)


def candidates_of(choices: Choices) -> list[Candidate]:
    """Every combination, cheapest first. Raises ScenarioError where there are too many to list."""
    count = 1
    for options in choices.cheapest_of.values():
        count *= len(options)
    if count > MOST_CANDIDATES:
        said = f"{count:,} candidates; expected at most {MOST_CANDIDATES}, for each of them is played: fewer values"
        raise ScenarioError([Problem(SOURCE, 0, "cheapest_of", said)])
    found = [
        Candidate(
            {path: option.value for path, option in zip(choices.cheapest_of, combination, strict=True)},
            sum(option.cost.amount for option in combination),
        )
        for combination in product(*choices.cheapest_of.values())
    ]
    return sorted(found, key=lambda each: each.cost)


def checked(document: Document, choices: Choices) -> list[Candidate]:
    """The candidates, once each of them is known to be a valid plan. Raises ScenarioError with all that is wrong."""
    candidates = candidates_of(choices)
    _plans(document, choices, candidates)
    return candidates


def _plans(document: Document, choices: Choices, candidates: list[Candidate]) -> list[Scenario]:
    """The plan of each candidate. Raises ScenarioError where one is not valid or is not played up to the promise."""
    plans = plans_of(document, [each.values for each in candidates], SOURCE)
    by = choices.promise.by
    short: dict[str, list[Candidate]] = {}
    for plan, each in zip(plans, candidates, strict=True):
        if plan.hours_at(by) > plan.horizon:
            short.setdefault(full_date(plan, plan.horizon), []).append(each)
    place = nearest(document.root, (SOURCE, "promise", "by")).place
    problems = [
        problem_at(place, _unseen(end, each, len(plans)), f"{by:%Y-%m-%d %H:%M}") for end, each in short.items()
    ]
    if problems:
        raise ScenarioError(problems)
    return plans


def _unseen(end: str, short: list[Candidate], of: int) -> str:
    """Why the promise cannot be looked at where the horizon ends before it."""
    values = ", ".join(f"{path} {as_written(value)}" for path, value in short[0].values.items())
    whose = "every candidate" if len(short) == of else f"{len(short)} of {of} candidates, such as {values}"
    return (
        f"later than the horizon of {whose}, {end}, and what is not done by then may still be done in time; expected "
        "a horizon after the promised date"
    )


def looks_of(n: int) -> tuple[int, ...]:
    """Replications done by each look, doubling up to `n`."""
    looks, done = [], FIRST_LOOK
    while done < n:
        looks.append(done)
        done *= 2
    return (*looks, n)


def judge(candidates: list[Candidate], by_h: float, chance: float, doubt: float) -> None:
    """Give the verdicts that the replications so far allow, each with at most `doubt` of being wrong."""
    from scipy.stats import binom

    for each in candidates:
        if each.verdict == OPEN:
            n, kept = len(each.hours), each.kept(by_h)
            keeps, breaks = float(binom.sf(kept - 1, n, chance)), float(binom.cdf(kept, n, chance))
            each.doubt = min(keeps, breaks)
            if each.doubt <= doubt:
                each.verdict = KEEPS if keeps < breaks else BREAKS
    costs = sorted(each.cost for each in candidates if each.verdict == KEEPS)
    for each in candidates:
        if each.verdict == OPEN and each.cost > (costs[1] if len(costs) > 1 else inf):
            each.verdict = DEARER


def size(
    document: Document,
    scenario: Scenario,
    choices: Choices,
    milestone: Chosen,
    n: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    on_progress: Callable[[int], None] = lambda _: None,
    kept: Kept[float] | None = None,
) -> Sized:
    """Play candidates, up to `n` replications of each, until each is judged or cannot matter any more.

    What is `kept` already is not played again. A candidate that is dropped counts as progress for all that it need not
    play. Raises ScenarioError with all that is wrong with any of them, before anything is played.
    """
    candidates = candidates_of(choices)
    plans = _plans(document, choices, candidates)
    kept = kept or keeping(None, POINTS, names_of(candidates), chunks_to(n))
    currency = next((o.cost.currency for each in choices.cheapest_of.values() for o in each if o.cost.currency), "")
    sized = Sized(scenario, choices, currency, tuple(candidates), looks_of(n), seed)
    done = 0
    for look in sized.looks:
        running = {str(k): plans[k] for k, each in enumerate(candidates) if each.verdict == OPEN}
        if not running:
            break
        further = chunks_to(look)[done // IN_A_CHUNK :]
        _play_on(candidates, scenario, running, further, seed, workers, milestone, on_progress, kept)
        done = look
        judge(candidates, sized.by_h, choices.promise.chance, DOUBT / (len(candidates) * len(sized.looks)))
        still = sum(each.verdict == OPEN for each in candidates)
        on_progress((len(running) - still) * (n - look))
    return sized


def _play_on(
    candidates: list[Candidate],
    stated: Scenario,
    running: dict[str, Scenario],
    chunks: list[Chunk],
    seed: int,
    workers: int | Cluster,
    milestone: Chosen,
    on_progress: Callable[[int], None],
    kept: Kept[float],
) -> None:
    """Play the same further replications of each, and add them in their order, from the start of the plan as stated."""
    found: dict[str, dict[int, list[float]]] = {name: {} for name in running}
    for name, chunk, hours in played(kept, running, chunks, seed, workers, milestone.read, on_progress):
        found[name][chunk] = hours
    for name, of_chunks in found.items():
        later_h = stated.hours_at(running[name].start)
        candidates[int(name)].hours += [hour + later_h for chunk in sorted(of_chunks) for hour in of_chunks[chunk]]


def names_of(candidates: list[Candidate]) -> list[str]:
    """What candidates are called where they are kept: their places from the cheapest."""
    return [str(number) for number in range(len(candidates))]


def chunks_to(last: int) -> list[Chunk]:
    """Replications in chunks between which looks fall; more of them only add chunks, but for the last."""
    starts = range(0, last, IN_A_CHUNK)
    return [(number, range(start, min(start + IN_A_CHUNK, last))) for number, start in enumerate(starts)]
