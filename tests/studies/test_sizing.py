"""Ranking and selection: verdicts are as sure as they say, and nobody is dropped who might be the answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats

from analysis.studies.chosen_milestone import chosen
from analysis.studies.sizing import (
    BREAKS,
    DEARER,
    DOUBT,
    KEEPS,
    OPEN,
    Candidate,
    Sized,
    candidates_of,
    judge,
    looks_of,
    size,
)
from sim.log import Log
from sim.scenario import ScenarioError
from sim.scenario.choices import Choices
from sim.scenario.loading import load, read
from tests.scenario.files import PAD

CHANCE = 0.9


def played(kept: int, n: int, cost: float = 0.0) -> Candidate:
    """A candidate that kept a promise for hour 1 so many times."""
    return Candidate({}, cost, [0.0] * kept + [2.0] * (n - kept))


@pytest.mark.parametrize(("kept", "n"), [(50, 50), (99, 100), (90, 100), (80, 100), (360, 400), (385, 400)])
def test_verdicts_are_the_exact_binomial_test(kept: int, n: int) -> None:
    """The doubt is the one-sided p-value, as scipy's own test has it."""
    candidate = played(kept, n)
    judge([candidate], 1.0, CHANCE, 0.01)
    tails = [stats.binomtest(kept, n, CHANCE, alternative=side).pvalue for side in ("greater", "less")]
    assert candidate.doubt == pytest.approx(min(tails))
    assert candidate.verdict == (OPEN if min(tails) > 0.01 else KEEPS if tails[0] < tails[1] else BREAKS)


def test_all_verdicts_of_a_study_are_right_as_often_as_they_say() -> None:
    """200 studies of six candidates near the promise, looked at three times: few hold any wrong verdict.

    By Bonferroni at most 5 % of the studies; 1 in 10 000 may show more than 22 of 200.
    """
    chances, looks = [0.85, 0.88, 0.895, 0.905, 0.92, 0.95], looks_of(200)
    wrong = judged = 0
    for study in range(200):
        luck = np.random.default_rng(study).random(200)  # common to all candidates, as in a real study
        hours = [np.where(luck < chance, 0.0, 2.0) for chance in chances]
        candidates = [Candidate({}, 0.0) for _ in chances]
        for look in looks:
            for candidate, own in zip(candidates, hours, strict=True):
                candidate.hours = own[:look].tolist()
            judge(candidates, 1.0, CHANCE, DOUBT / (len(chances) * len(looks)))
        verdicts = [each.verdict for each in candidates]
        wrong += any(v == (BREAKS if c >= CHANCE else KEEPS) for v, c in zip(verdicts, chances, strict=True))
        judged += sum(verdict in {KEEPS, BREAKS} for verdict in verdicts)
    assert wrong <= stats.binom.isf(1e-4, 200, DOUBT)
    assert judged > 100  # it does judge


def test_only_what_is_dearer_than_two_keepers_is_dropped() -> None:
    """Neither what costs less than the runner-up, nor what costs as much."""
    keepers = [played(200, 200, 10.0), played(200, 200, 20.0)]
    others = [played(180, 200, cost) for cost in (5.0, 15.0, 20.0, 20.5)]
    judge([*keepers, *others], 1.0, CHANCE, 0.01)
    assert [each.verdict for each in others] == [OPEN, OPEN, OPEN, DEARER]


def test_looks_double_up_to_the_end() -> None:
    assert looks_of(50) == (50,)
    assert looks_of(70) == (50, 70)
    assert looks_of(400) == (50, 100, 200, 400)


def choices(count_cost: str = "20 USD") -> Choices:
    return Choices.model_validate(
        {
            "promise": {"by": "2027-07-01"},
            "cheapest_of": {
                "units.flowback_spreads.count": [{"value": 1}, {"value": 2, "cost": count_cost}],
                "horizon": [{"value": "200 day", "cost": "5 USD"}, {"value": "240 day"}],
            },
        }
    )


def test_candidates_are_all_combinations_cheapest_first() -> None:
    """Costs of all paths are added up."""
    found = candidates_of(choices())
    assert [each.cost for each in found] == [0, 5, 20, 25]
    assert found[2].values == {"units.flowback_spreads.count": 2, "horizon": "240 day"}


def hour_of_luck(log: Log) -> float:
    """A cheap stand-in for a milestone: late in every tenth replication, and with a short horizon in every other."""
    often = 10 if log.horizon_h == 240 * 24 else 2
    return 1e6 if log.replication % often == 0 else 0.0


def test_candidates_meet_the_same_luck_and_stop_when_judged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is plain after one look is not played again; every replication counts once and in order."""
    monkeypatch.setattr("sim.replications.simulate", lambda plan, k, seed, _: Log(k, seed, plan.horizon, {}))
    file = tmp_path / "pad.yaml"
    file.write_text(PAD)
    document = read(file)
    scenario = load(file)
    milestone = chosen("first production", ["Heron 1"])._replace(read=hour_of_luck)
    progress: list[int] = []
    found = size(document, scenario, choices(), milestone, 200, on_progress=progress.append)
    rows = [(each.values["horizon"], len(each.hours), each.verdict) for each in found.candidates]
    assert rows == [
        ("240 day", 200, OPEN),
        ("200 day", 50, BREAKS),
        ("240 day", 200, OPEN),
        ("200 day", 50, BREAKS),
    ]
    assert found.candidates[0].hours == [1e6 if k % 10 == 0 else 0.0 for k in range(200)]
    assert sum(progress) == 4 * 200


def size_of(file: Path, stated: str, n: int = 50) -> Sized:
    """What is found for a plan with these choices."""
    file.write_text(PAD + stated, encoding="utf-8")
    scenario = load(file)
    assert scenario.choices is not None
    return size(read(file), scenario, scenario.choices, chosen("first production", ["Heron 1"]), n)


def test_a_promise_beyond_the_horizon_of_a_candidate_is_refused(tmp_path: Path) -> None:
    """What is cut short there was not late; file, line, field and value are told, each horizon once."""
    by = "\nchoices:\n  promise:\n    by: 2027-09-01\n  cheapest_of:\n    horizon: "
    horizons = "[{value: 100 day}, {value: 120 day, cost: 5 USD}, {value: 240 day, cost: 9 USD}]"
    with pytest.raises(ScenarioError) as refused:
        size_of(tmp_path / "pad.yaml", f"{by}{horizons}\n")
    line = (PAD + by).splitlines().index("    by: 2027-09-01") + 1
    first, second = refused.value.problems
    assert (first.line, first.where, first.value) == (line, "choices.promise.by", "2027-09-01 00:00")
    assert "later than the horizon of 1 of 3 candidates, such as horizon 100 day, 2027-06-09 06:00" in first.message
    assert "horizon 120 day" in second.message


def test_hours_of_every_candidate_count_from_the_start_of_the_plan(tmp_path: Path, monkeypatch: Any) -> None:
    """A candidate that starts 48 h earlier and is done 30 h after that is done in time, not late."""
    monkeypatch.setattr("sim.replications.simulate", lambda plan, k, seed, _: Log(k, seed, plan.horizon, {}))
    by = "\nchoices:\n  promise: {milestone: first production, by: 2027-03-01 06:00}\n  cheapest_of:\n    start: "
    file = tmp_path / "pad.yaml"
    file.write_text(f"{PAD}{by}[{{value: 2027-03-01 06:00}}, {{value: 2027-02-27 06:00, cost: 9 USD}}]\n")
    scenario = load(file)
    assert scenario.choices is not None
    milestone = chosen("first production", ["Heron 1"])._replace(read=thirty_hours)
    found = size(read(file), scenario, scenario.choices, milestone, 50)
    assert [set(each.hours) for each in found.candidates] == [{30.0}, {-18.0}]
    assert [each.verdict for each in found.candidates] == [BREAKS, KEEPS]


def thirty_hours(log: Log) -> float:
    """A cheap stand-in for a milestone."""
    return 30.0
