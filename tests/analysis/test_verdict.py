"""A verdict on several plans: whatever is said first is what the ranking and the sentences after it say too."""

from __future__ import annotations

from math import inf
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest

from analysis.comparing.comparison import Comparison
from analysis.comparing.comparison_answer import answer
from analysis.comparing.ranking import rank
from analysis.comparing.verdict import Verdict, judge
from analysis.measures import PadRow
from analysis.observed import dates
from analysis.pad_measures import LAST_WELL
from analysis.report import headline
from analysis.report.content import Played
from sim.scenario.scenario import Scenario
from tests.pads import pad, well

DAY = 24.0


def verdict_on(scenario: Scenario, **days: Any) -> Verdict:
    """A verdict on the day of the last well in every replication of each plan."""
    pads = {}
    for name, values in days.items():
        hours = DAY * np.asarray(values, dtype=float)
        blank: dict[str, Any] = dict.fromkeys(PadRow._fields, 0.0)
        pads[name] = pd.DataFrame([blank | {"replication": k, "all_on_production_h": h} for k, h in enumerate(hours)])
    return judge(Comparison(dict.fromkeys(pads, scenario), 0, len(hours), pads), LAST_WELL)


@pytest.fixture
def scenario() -> Scenario:
    """A plan; only its start and its horizon matter here."""
    return pad([well("A 1", 1, "10 min", "10 min", toe=True)], {"wells_in_rotation": 1})


def test_without_means_the_likelier_plan_is_ahead_not_that_of_the_earlier_median(scenario: Scenario) -> None:
    """Of five equally frequent pairs of days the other plan is earlier in four, though its median is later."""
    base = np.tile([6, 7, 8, 9, inf], 40)
    other = np.tile([5, 6, 8.4, 8.5, 9], 40)
    verdict = verdict_on(scenario, base=base, other=other)
    assert not verdict.ranking.by_means
    assert verdict.quantiles["base"][1].least < verdict.quantiles["other"][1].least
    assert verdict.in_order == ["other", "base"]
    first, second = answer(verdict)[:2]
    assert "earliest under 'other'" in first
    assert "earlier than 'base' in 160 of 200" in first
    assert "'other' is the best of two plans" in second
    content: Any = SimpleNamespace(played=Played(200, choices=verdict))
    tile = headline._recommendation(content)
    assert tile.answer == "Change to 'other'"
    assert "'other' has its last well by" in tile.lines[0]
    assert "earlier in 160 of 200 replications than 'base'" in tile.lines[0]


def test_the_plan_ahead_is_never_told_to_be_later(scenario: Scenario) -> None:
    """Means that are freed of known luck may order plans otherwise than the paired means that are told."""
    generator = np.random.default_rng(3)
    base, other = generator.normal(40, 3, (2, 25))
    other += base.mean() - other.mean() - 0.01
    verdict = verdict_on(scenario, base=base, other=other)
    means: Any = {name: SimpleNamespace(mean=mean) for name, mean in (("base", 1.0), ("other", 2.0))}
    turned = Verdict(**{**vars(verdict), "means": means})
    assert turned.in_order == ["other", "base"]
    assert "with 'other' ahead" in answer(turned)[0]
    assert "0.0 days earlier than 'base' in the mean" in answer(turned)[0]


def test_level_plans_stay_as_they_were_stated(scenario: Scenario) -> None:
    """Whatever the last bits of their means."""
    days = np.linspace(30, 50, 20)
    verdict = verdict_on(scenario, base=days + 1e-13, other=days, worse=days + 1)
    assert verdict.in_order == ["base", "other", "worse"]


def test_plans_that_beat_each_other_in_a_ring_may_all_be_the_best(scenario: Scenario) -> None:
    """Each of three is earlier than the next in two of three replications; an unfinished one leaves no means."""
    days = [np.tile(each, 60) for each in ([1.0, 2, 3], [2.0, 3, 1], [3.0, 1, 2])]
    days = [np.append(each, inf) for each in days]
    assert rank([dates(each, 40) for each in days]).possible_bests == [0, 1, 2]
    verdict = verdict_on(scenario, a=days[0], b=days[1], c=days[2])
    first, second = answer(verdict)[:2]
    assert "undecided, with 'a' ahead" in first
    assert "earlier than 'b' in 120 to 121 of 181" in first
    assert "it may be 'a', 'b' or 'c'" in second
