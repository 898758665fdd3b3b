"""All plans at once: probabilities of being best against theory, and whether all statements hold together."""

from __future__ import annotations

import math

import numpy as np
import pytest
from repeats import hits, least_hits
from scipy import stats

from analysis.comparing.ranking import best_chances, rank
from analysis.observed import dates
from analysis.statistics import mean_interval

MEANS = np.array([10.0, 10.6, 11.0, 13.0])


def plans(generator: np.random.Generator, n: int = 40) -> np.ndarray:
    """Four plans under common luck, of different means and spreads; a column for each."""
    shared = generator.normal(0.0, 2.0, (n, 1))
    return MEANS + shared + generator.normal(0.0, 1.0, (n, 4)) * (1.0, 0.5, 1.5, 2.0)


def test_chance_of_two_normals() -> None:
    """N(10, 2) against N(9, 3): the second is smaller with Phi(1 / sqrt 13)."""
    generator = np.random.default_rng(11)
    a, b = generator.normal(10, 2, 20_000), generator.normal(9, 3, 20_000)
    smaller = best_chances([dates(a), dates(b)])[1]
    expected = stats.norm.cdf(1 / math.sqrt(13))
    assert stats.binomtest(smaller.surely, 20_000, expected).pvalue > 1e-4
    assert smaller.low < expected < smaller.high


@pytest.mark.parametrize(
    ("first", "second", "mean", "variance"),
    [((10, 2), (9, 3), 10.993378, 3.973600), ((20, 3), (20, 3), 21.692569, 6.135211)],
)
def test_later_of_two_dates_has_the_mean_of_clark(
    first: tuple[int, int], second: tuple[int, int], mean: float, variance: float
) -> None:
    """Clark 1961, Operations Research 9, 145-162 (from memory): moments of the larger of two normals.

    The pad is done when its later well is: the mean interval holds Clark's mean as often as it says.
    """

    def holds(generator: np.random.Generator) -> bool:
        found = mean_interval(np.maximum(generator.normal(*first, 80), generator.normal(*second, 80)))
        return found.low <= mean <= found.high

    assert hits(12, holds) >= least_hits(0.95)
    generator = np.random.default_rng(13)
    later = np.maximum(generator.normal(*first, 400_000), generator.normal(*second, 400_000))
    assert later.var() == pytest.approx(variance, rel=0.02)


def test_all_statements_hold_at_once() -> None:
    """Places and distances of four plans together, in at least 95 % of 1000 repeats."""
    true_places = 1 + np.argsort(np.argsort(MEANS))
    truth_behind = np.maximum(MEANS - [min(np.delete(MEANS, i)) for i in range(4)], 0.0)

    def holds(generator: np.random.Generator) -> bool:
        ranking = rank([dates(column) for column in plans(generator).T])
        return all(
            each.ranks[0] <= place <= each.ranks[1] and each.behind[0] <= behind <= each.behind[1]
            for each, place, behind in zip(ranking.standings, true_places, truth_behind, strict=True)
            if each.behind is not None
        )

    assert hits(14, holds) >= least_hits(0.95)


def test_equal_plans_are_seldom_told_apart() -> None:
    """Where all means are the same, any claim that one is better is wrong: at most in 5 % of repeats."""

    def holds(generator: np.random.Generator) -> bool:
        ranking = rank([dates(column) for column in (plans(generator) - MEANS).T])
        return all(each.ranks == (1, 4) for each in ranking.standings)

    assert hits(15, holds) >= least_hits(0.95)


def test_places_without_means_hold_too() -> None:
    """With unfinished replications plans are ranked by which of two is likelier to do better."""
    horizon = 13.0

    def holds(generator: np.random.Generator) -> bool:
        sample = plans(generator)
        ranking = rank([dates(np.where(column > horizon, math.inf, column), horizon) for column in sample.T])
        assert not ranking.by_means or (sample <= horizon).all()
        return all(
            each.ranks[0] <= place <= each.ranks[1] for each, place in zip(ranking.standings, (1, 2, 3, 4), strict=True)
        )

    assert hits(16, holds, 400) >= least_hits(0.95, 400)


def test_ranking_by_hand() -> None:
    """Three plans far apart, one unfinished throughout: places are sure, distances are not."""
    n = 30
    early, late = np.linspace(0, 1, n), np.linspace(10, 11, n)
    ranking = rank([dates(late, 20), dates(np.full(n, math.inf), 20), dates(early, 20)])
    assert [each.ranks for each in ranking.standings] == [(2, 2), (3, 3), (1, 1)]
    assert [each.best.surely for each in ranking.standings] == [0, 0, n]
    assert not ranking.by_means
    assert {each.behind for each in ranking.standings} == {None}
    assert ranking.possible_bests == [2]


def test_larger_is_better_is_the_mirror() -> None:
    sample = plans(np.random.default_rng(17)).T
    small = rank([dates(column) for column in sample])
    large = rank([dates(50 - column) for column in sample], larger_is_better=True)
    for one, other in zip(small.standings, large.standings, strict=True):
        assert one.ranks == other.ranks
        assert one.behind == pytest.approx(other.behind)
        assert one.best == other.best


def test_level_plans_are_all_best() -> None:
    """The same plan twice shares the first place, and no interval tells them apart."""
    values = np.linspace(1, 2, 20)
    ranking = rank([dates(values), dates(values), dates(values + 1)])
    assert [each.best.surely for each in ranking.standings] == [20, 20, 0]
    assert [each.ranks for each in ranking.standings] == [(1, 2), (1, 2), (3, 3)]


def test_bonferroni_is_over_all_pairs() -> None:
    """The sharpest statement of a ranking is that of a paired-t interval at 1 - 0.05 / 6."""
    sample = plans(np.random.default_rng(18)).T
    behind = [each.behind for each in rank([dates(column) for column in sample]).standings]
    for i in range(4):
        bounds = [
            stats.ttest_1samp(sample[i] - sample[j], 0).confidence_interval(1 - 0.05 / 6) for j in range(4) if j != i
        ]
        expected = tuple(max(0.0, *side) for side in zip(*[(b.low, b.high) for b in bounds], strict=True))
        assert behind[i] == pytest.approx(expected)


def test_one_plan_cannot_be_ranked() -> None:
    with pytest.raises(ValueError, match="expected at least two"):
        rank([dates([1.0])])
