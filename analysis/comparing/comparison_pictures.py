"""The picture that a comparison leaves: chance curves of the plans, and their differences from the base plan."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from matplotlib.axes import Axes

from analysis.comparing.comparison_wording import difference_text, interval_text, likelier, median_text, unit_of
from analysis.comparing.pairs import Pair, difference
from analysis.comparing.verdict import Verdict
from analysis.figures import theme
from analysis.figures.comparison import Difference, Scale, comparison
from analysis.observed import Observed

SPANS = "Below: thin from 5 to 95 % of the paired differences, thick the middle half, the dot their median."


def draw(verdict: Verdict, folder: Path) -> None:
    """Draw it into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    theme.save(theme.settle(comparison_axes(verdict)), folder / "comparison")


def comparison_axes(verdict: Verdict) -> Axes:
    """The upper of its two panels."""
    above, _ = comparison(
        {name: seen.high for name, seen in _in_order(verdict).items()},
        {name: _difference(verdict, name) for name in verdict.names[1:]},
        _scale(verdict),
        title=f"{verdict.comparison.base.title}: {verdict.measure.name}",
        y_label="chance done by (%)" if verdict.measure.kind == "date" else "chance of no more (%)",
        notes=(_convention(verdict), SPANS, *_unfinished(verdict)),
        horizon=_horizon(verdict),
    )
    return above


def _in_order(verdict: Verdict) -> dict[str, Observed]:
    """The base plan first, the others from the best on, so that the worst are left out where there are many."""
    base = verdict.names[0]
    return {name: verdict.seen[name] for name in (base, *(each for each in verdict.in_order if each != base))}


def _difference(verdict: Verdict, name: str) -> Difference:
    low, high = difference(verdict.seen[name], verdict.seen[verdict.names[0]])
    return Difference(low, high, _text(verdict, verdict.pair(name, verdict.names[0])))


def _text(verdict: Verdict, pair: Pair) -> str:
    measure = verdict.measure
    if pair.level == pair.better.replications:
        return "the same in every replication"
    if pair.mean is None:
        return f"median {median_text(measure, pair.median)} {unit_of(measure)}; {likelier(measure, pair)}"
    low, high = pair.mean.low, pair.mean.high
    near, far = sorted((abs(low), abs(high))) if low * high > 0 else (low, high)
    return f"{difference_text(measure, pair.mean.mean)} {interval_text(measure, near, far)}; {likelier(measure, pair)}"


def _scale(verdict: Verdict) -> Scale:
    measure = verdict.measure
    if measure.kind == "date":
        return Scale(verdict.comparison.base.start, 24.0, "date")
    return Scale(None, 24.0 if measure.kind == "days" else 1.0, measure.name)


def _convention(verdict: Verdict) -> str:
    first = "P90: 90 % chance done by." if verdict.measure.kind == "date" else "P90: 90 % chance of no more."
    n = verdict.comparison.replications
    return f"{first} {n} replications of each plan. Differences in words are means, brackets 95 % confidence."


def _horizon(verdict: Verdict) -> float | None:
    """The latest horizon of a plan that has something unfinished."""
    if verdict.measure.kind != "date":
        return None
    ends = [float(seen.low[~seen.known].max()) for seen in verdict.seen.values() if seen.unfinished]
    return max(ends) if ends else None


def _unfinished(verdict: Verdict) -> tuple[str, ...]:
    counts = {name: int(np.sum(~seen.known)) for name, seen in verdict.seen.items() if seen.unfinished}
    n = verdict.comparison.replications
    return tuple(f"{name}: {count} of {n} replications unfinished at the horizon." for name, count in counts.items())
