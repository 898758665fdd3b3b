"""The answer of a comparison in a few sentences, for whoever reads no further."""

from __future__ import annotations

from analysis.comparing.comparison_wording import difference_text, interval_text, likelier, quantile_text, superlative
from analysis.comparing.pairs import Pair
from analysis.comparing.verdict import Verdict
from analysis.pad_measures import PadMeasure
from analysis.wording import date_text, in_words


def answer(verdict: Verdict) -> list[str]:
    """Sentences, most important first."""
    return [_best(verdict), _against_the_rest(verdict), *_unfinished(verdict)]


def _best(verdict: Verdict) -> str:
    """The plan that came out best, against the plan as stated or, if it is that, against the next."""
    measure, best, other = verdict.measure, verdict.in_order[0], verdict.rival
    middle = quantile_text(verdict.comparison.base, measure, verdict.quantiles[best][1])
    at = f"{middle} (P50)" if measure.kind == "date" else f"{middle} (median)"
    lead = _lead(measure, verdict.pair(best, other), _name(other))
    return f"{verdict.comparison.base.title}, {measure.name}: {_ahead(verdict, best)}, {at}, {lead}."


def _ahead(verdict: Verdict, best: str) -> str:
    """The best plan by name, as far as it is decided that it is."""
    bests = [verdict.names[number] for number in verdict.ranking.possible_bests]
    level = all(verdict.pair(best, each).level == verdict.comparison.replications for each in bests if each != best)
    if not level:
        return f"undecided, with {_name(best)} ahead"
    return f"{superlative(verdict.measure)} under {_name(best)}"


def _lead(measure: PadMeasure, pair: Pair, other: str) -> str:
    """By how much it leads another plan, and how often."""
    n = pair.better.replications
    if pair.level == n:
        return f"which is level with {other} in all {n} replications under the same luck"
    how_often = f"{likelier(measure, pair)} replications under the same luck"
    if pair.mean is None:
        word, rest = how_often.split(" ", 1)
        return f"{word} than {other} {rest}"
    return (
        f"{difference_text(measure, pair.mean.mean)} than {other} in the mean "
        f"{_spread(measure, pair.mean.low, pair.mean.high)}, {how_often}"
    )


def _name(plan: str) -> str:
    return f"'{plan}'"


def _spread(measure: PadMeasure, low: float, high: float) -> str:
    """The interval of a difference that the sentence has in words: without signs unless it holds zero."""
    if low <= 0 <= high:
        return f"(95 %: {interval_text(measure, low, high)})"
    near, far = sorted((abs(low), abs(high)))
    return interval_text(measure, near, far)


def _against_the_rest(verdict: Verdict) -> str:
    """Whether that is decided, with one confidence for all pairs."""
    ranking, names = verdict.ranking, verdict.names
    bests = [names[number] for number in ranking.possible_bests]
    how = "by its mean" if ranking.by_means else "being the likelier of any two to do better"
    if len(bests) == 1:
        best = f"{_name(bests[0])} is the best of {in_words(len(names))} plans"
        return f"With 95 % confidence for all pairs at once {best}, {how}."
    listed = " or ".join([", ".join(_name(each) for each in bests[:-1]), _name(bests[-1])])
    if all(verdict.pair(bests[0], each).level == verdict.comparison.replications for each in bests[1:]):
        together = " and ".join(_name(each) for each in bests)
        others = "; with 95 % confidence all other plans are worse" if len(bests) < len(names) else ""
        return f"{together} are level in every replication{others}."
    hidden = any(seen.unfinished for seen in verdict.seen.values())
    more = "; a later horizon or more replications may decide" if hidden else "; more replications may decide"
    return f"With 95 % confidence for all pairs at once no plan is the best alone: it may be {listed}{more}."


def _unfinished(verdict: Verdict) -> list[str]:
    counts = {name: seen.unfinished for name, seen in verdict.seen.items() if seen.unfinished}
    if not counts:
        return []
    n, plans = verdict.comparison.replications, verdict.comparison.plans
    listed = ", ".join(
        f"{count} of {n} under {_name(name)} ({date_text(plans[name], plans[name].horizon)})"
        for name, count in counts.items()
    )
    return [
        f"Unfinished at the horizon: {listed}. None is dropped: each counts as done some time after its horizon, so "
        "medians, chances and ranks hold, but means do not exist and are not given. A later horizon would give them."
    ]
