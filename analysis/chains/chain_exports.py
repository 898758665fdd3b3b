"""What the where command leaves in its run directory for others to read: its summary as plain data."""

from __future__ import annotations

from math import isinf
from typing import Any

from analysis.chains.chain_answer import chain_answer
from analysis.chains.chain_summary import Part, WhereDaysGo
from analysis.chains.chain_terminal import CONVENTION
from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.wording import full_date


def chain_summary_of(where: WhereDaysGo) -> dict[str, Any]:
    """Days by kind and by unit; bounds are None where the replications are too few for them."""
    return {
        "title": where.scenario.title,
        "milestone": where.goal.name,
        "start": where.scenario.start.isoformat(),
        "replications": where.played,
        "reached": where.reached,
        "seed": where.seed,
        "convention": CONVENTION,
        "answer": chain_answer(where),
        "dates": {f"P{100 * each.p:.0f}": full_date(where.scenario, each.value) for each in where.dates},
        "days": None if where.days is None else _numbers(where.days),
        "by_kind": {kind: {part.name: _numbers(part) for part in parts} for kind, parts in where.kinds.items()},
        "by_trade": {part.name: _numbers(part) for part in where.groups},
        "by_unit": {part.name: _numbers(part) for part in where.units},
        "reached_in_well": dict(where.last_wells),
    }


def _numbers(part: Part) -> dict[str, Any]:
    quantiles = {f"P{100 * quantile.p:.0f}": _quantile(quantile) for quantile in part.quantiles}
    share = part.on_chain
    return (
        {"mean": mean_of(part.mean)}
        | quantiles
        | {"on_chain": {"share": share.share, "low": share.low, "high": share.high, "confidence": share.confidence}}
    )


def mean_of(mean: MeanEstimate) -> dict[str, float | None]:
    """A mean in days with its interval; no bounds where one replication alone says nothing of the spread."""
    low, high = (None, None) if isinf(mean.high) else (mean.low, mean.high)
    return {"days": mean.mean, "low": low, "high": high, "confidence": mean.confidence}


def _quantile(quantile: QuantileEstimate) -> dict[str, float | None]:
    low = None if quantile.low_rank is None else quantile.low
    high = None if quantile.high_rank is None else quantile.high
    return {"days": quantile.value, "low": low, "high": high, "confidence": round(quantile.confidence, 6)}
