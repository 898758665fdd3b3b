"""How values and differences of a measure are put into words, whatever its kind: dates, spans of days, rates."""

from __future__ import annotations

from math import inf

from analysis.comparing.pairs import Chance, Pair, Quantile
from analysis.pad_measures import PadMeasure
from analysis.wording import BEYOND, date_text
from sim.scenario.scenario import Scenario

UNKNOWN = "unknown"
ENOUGH = 10  # replications, for a ratio of variances to say anything


def value_text(scenario: Scenario, measure: PadMeasure, value: float) -> str:
    """A value as a date, in days, or as the rate that it is."""
    if measure.kind == "date":
        return date_text(scenario, value)
    return number_text(measure, value)


def number_text(measure: PadMeasure, value: float) -> str:
    """Days, or a rate; a date in days from the start."""
    if value in (inf, -inf):
        return "?"
    return f"{value:.2f}" if measure.kind == "rate" else f"{value / 24:.1f}"


def quantile_text(scenario: Scenario, measure: PadMeasure, quantile: Quantile) -> str:
    """A quantile of one plan, as far as the horizon leaves it known."""
    if quantile.value is not None:
        return value_text(scenario, measure, quantile.value)
    if measure.kind == "date" and quantile.most == inf:
        return BEYOND
    return f"{number_text(measure, quantile.least)} to {number_text(measure, quantile.most)}"


def interval_text(measure: PadMeasure, low: float, high: float) -> str:
    """[low, high] in days or as rates."""
    return f"[{number_text(measure, low)},\N{NO-BREAK SPACE}{number_text(measure, high)}]"


def unit_of(measure: PadMeasure) -> str:
    """What differences of the measure are counted in."""
    return measure.name if measure.kind == "rate" else "days"


def superlative(measure: PadMeasure) -> str:
    """What the best of all is called."""
    return {"date": "earliest", "days": "shortest", "rate": "highest"}[measure.kind]


def span_text(hours: float) -> str:
    """Short spans in hours, long ones in days."""
    return f"{hours:.3g} h" if hours < 48 else f"{hours / 24:.3g} days"


def amount_text(measure: PadMeasure, amount: float) -> str:
    """So much of the measure, with its unit."""
    return f"{amount:g} {measure.name}" if measure.kind == "rate" else span_text(amount)


def difference_text(measure: PadMeasure, difference: float) -> str:
    """A difference in words: '15.9 days earlier'."""
    better, worse = measure.words
    word = better if (difference < 0) != measure.larger_is_better else worse
    return f"{number_text(measure, abs(difference))} {unit_of(measure)} {word}"


def median_text(measure: PadMeasure, median: Quantile) -> str:
    """A median difference, or the bounds that the horizon leaves for it."""
    if median.value is not None:
        return number_text(measure, median.value)
    if median.least == -inf and median.most < inf:
        return f"below {number_text(measure, median.most)}"
    if median.most == inf and median.least > -inf:
        return f"above {number_text(measure, median.least)}"
    return (
        UNKNOWN
        if median.least == -inf
        else f"{number_text(measure, median.least)} to {number_text(measure, median.most)}"
    )


def likelier(measure: PadMeasure, pair: Pair) -> str:
    """How often A does better than B, or if that is rarer, how often worse: 'later in 60 of 60'."""
    word, chance = (measure.words[0], pair.better)
    if pair.worse.surely > pair.better.surely:
        word, chance = (measure.words[1], pair.worse)
    level = f", level in {pair.level}" if pair.level else ""
    return f"{word} in {chance_text(chance)}{level}"


def chance_text(chance: Chance) -> str:
    """So many of so many replications; in doubt are those that the horizon hides."""
    doubt = f" to {chance.surely + chance.perhaps}" if chance.perhaps else ""
    return f"{chance.surely}{doubt} of {chance.replications}"


def percents(chance: Chance) -> str:
    """The interval of a chance."""
    return f"[{_percent(chance.low)}, {_percent(chance.high)}] %"


def _percent(share: float) -> str:
    """A bound with one decimal, never rounded to certainty."""
    return f"{100 * share:.0f}" if share in (0.0, 1.0) else f"{min(max(100 * share, 0.1), 99.9):.1f}"


def times_text(pair: Pair) -> str:
    """How many times as many replications independent runs would have needed, as measured on enough of them."""
    if pair.variance_ratio is None or pair.better.replications < ENOUGH:
        return "-"
    return f"{pair.variance_ratio:,.{0 if pair.variance_ratio >= 100 else 1}f} × as many"
