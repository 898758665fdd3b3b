"""What a comparison leaves for others to read: its summary as plain data."""

from __future__ import annotations

from math import isinf
from typing import Any

from analysis.comparing.comparison_answer import answer
from analysis.comparing.pairs import Chance, Pair, Quantile
from analysis.comparing.ranking import Standing
from analysis.comparing.verdict import Verdict
from analysis.forecasting.control_variates import ControlledMean
from analysis.statistics import MeanEstimate
from analysis.wording import CONVENTION, full_date, strategy_text

UNITS = {"date": "hours from the start", "days": "hours", "rate": "as its name says"}


def summary_of(verdict: Verdict) -> dict[str, Any]:
    """The comparison as plain data. Bounds that are not known are None; differences are A less B."""
    played = verdict.comparison
    return {
        "title": played.base.title,
        "measure": verdict.measure.name,
        "unit": UNITS[verdict.measure.kind],
        "start": played.base.start.isoformat(),
        "replications": played.replications,
        "seed": played.seed,
        "convention": CONVENTION,
        "answer": answer(verdict),
        "plans": {name: _plan(verdict, name) for name in verdict.names},
        "ranking": {
            "order": verdict.in_order,
            "by": "means" if verdict.ranking.by_means else "which of two is likelier to do better",
            "confidence_of_all": verdict.ranking.confidence,
        },
        "pairs": [{"a": a, "b": b} | _pair(pair) for (a, b), pair in verdict.pairs.items()],
    }


def _plan(verdict: Verdict, name: str) -> dict[str, Any]:
    standing = verdict.ranking.standings[verdict.names.index(name)]
    quantiles = zip(("P10", "P50", "P90"), verdict.quantiles[name], strict=True)
    return {
        "strategy": strategy_text(verdict.comparison.plans[name]),
        **{label: _dated(verdict, quantile) for label, quantile in quantiles},
        "mean": _mean(verdict.means[name]),
        "unfinished": verdict.seen[name].unfinished,
        **_standing(standing),
    }


def _dated(verdict: Verdict, quantile: Quantile) -> dict[str, Any]:
    date = full_date(verdict.comparison.base, quantile.most) if verdict.measure.kind == "date" else None
    return _quantile(quantile) | ({} if date is None else {"date": date})


def _quantile(quantile: Quantile) -> dict[str, Any]:
    return {
        "value": quantile.value,
        "least": _known(quantile.least),
        "most": _known(quantile.most),
        "low": _known(quantile.low),
        "high": _known(quantile.high),
        "confidence": round(quantile.confidence, 6),
    }


def _known(bound: float) -> float | None:
    return None if isinf(bound) else bound


def _mean(mean: MeanEstimate | ControlledMean | None) -> dict[str, Any] | None:
    if mean is None:
        return None
    found = {"mean": mean.mean, "low": _known(mean.low), "high": _known(mean.high), "confidence": mean.confidence}
    return found | ({"variance_cut": mean.factor} if isinstance(mean, ControlledMean) else {})


def _chance(chance: Chance) -> dict[str, Any]:
    return {
        "share": chance.share,
        "surely": chance.surely,
        "hidden_by_horizon": chance.perhaps,
        "low": chance.low,
        "high": chance.high,
        "confidence": chance.confidence,
    }


def _standing(standing: Standing) -> dict[str, Any]:
    return {"best": _chance(standing.best), "places": standing.ranks, "behind_the_best": standing.behind}


def _pair(pair: Pair) -> dict[str, Any]:
    return {
        "mean": _mean(pair.mean),
        "median": _quantile(pair.median),
        "a_better": _chance(pair.better),
        "b_better": _chance(pair.worse),
        "level": pair.level,
        "correlation": pair.correlation,
        "variance_against_independent_runs": pair.variance_ratio,
        "unfinished": pair.unfinished,
    }
