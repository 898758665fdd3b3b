"""A calibration as a patch file: paths with their values, and beside each the evidence it rests on, as a comment."""

from __future__ import annotations

import re
from datetime import datetime
from math import exp, inf
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from analysis.field.calibration import Calibrated, Calibration
from analysis.field.quantities import FACTOR, SPEED
from analysis.field.rates import TroubleRate
from analysis.field.reading import FieldLog
from analysis.field.written_values import numbers, percentages, shape_text, speeds, times
from sim.scenario import load
from sim.scenario.scenario import Scenario
from sim.scenario.written import as_written

_PLAIN_KEY = re.compile(r"[A-Za-z][\w .\-/()&+]*[\w)]")


class Entry(NamedTuple):
    """One value of the patch, and on what it rests."""

    path: str
    value: Any
    evidence: str


def patch_text(calibration: Calibration, log: FieldLog, scenario: Scenario) -> str:
    """The patch file as text."""
    first, last = (_day(scenario, hours) for hours in (log.rows["start_h"].min(), log.until_h))
    head = [
        f"Calibrated on {log.source}: {len(log.rows):,} rows used of {log.read:,}, from {first} to {last}.",
        f"Plan: {scenario.title}. It counts as much as {calibration.prior_weight:g} observations of each value.",
        "Lay it over the plan with: padtempo forecast FILE --patch THIS_FILE",
    ]
    lines = [_comment(line) for line in head]
    said = ""
    for entry in entries(calibration, f"{log.source}, {first} to {last}", scenario):
        if entry.evidence != said:
            lines += ["", _comment(entry.evidence)]
        said = entry.evidence
        lines.append(f"{_key(entry.path)}: {as_written(entry.value)}")
    return "\n".join(lines) + "\n"


def _comment(text: str) -> str:
    return f"# {' '.join(text.split())}"


def _day(scenario: Scenario, hours: float) -> str:
    moment: datetime = scenario.moment_at(float(hours))
    return moment.date().isoformat()


def _key(path: str) -> str:
    return path if _PLAIN_KEY.fullmatch(path) else '"' + path.replace("\\", "\\\\").replace('"', '\\"') + '"'


def entries(calibration: Calibration, source: str, scenario: Scenario) -> list[Entry]:
    """Every value, once for each path; of what else must be set, the first reason counts."""
    found: dict[str, Entry] = {}
    for figure in calibration.figures:
        said = f"{evidence(figure)}; {source}"
        value = figure.quantity.put(shape_text(figure.shape, written_by(figure.quantity.kind)))
        for path in figure.quantity.paths:
            found.setdefault(path, Entry(path, value, said))
        for path, also, why in figure.quantity.also:
            found.setdefault(path, Entry(path, also, f"{figure.quantity.activity}: {why}"))
    for rate in calibration.rates:
        if rate.rate.value == inf:  # no strike yet, and the plan is worth nothing
            continue
        found.setdefault(rate.path, Entry(rate.path, rate_value(rate, scenario), f"{rate_evidence(rate)}; {source}"))
    for curve in calibration.curves:
        if curve.shown and curve.entry_path is not None:
            path = f"{curve.entry_path}.learning"
            interval = f"95 % interval {percentages(curve.low)} to {percentages(curve.high)}"
            text = f"{curve.activity}: time left on doubling, {interval}"
            doubling = {"doubling": percentages(curve.doubling), "done_before": 0}
            found.setdefault(path, Entry(path, doubling, f"{text}, {curve.n} jobs; {source}"))
    return list(found.values())


def written_by(kind: str) -> Any:
    """How numbers of a kind of quantity are put into words."""
    return {FACTOR: numbers, SPEED: speeds}.get(kind, times)


def evidence(figure: Calibrated) -> str:
    """`nipple up: 6 jobs; median 8.6 h [7.5 h, 9.9 h], the plan alone 8.6 h, the field alone 8.7 h`."""
    quantity, put = figure.quantity, written_by(figure.quantity.kind)
    cut = f" and {len(quantity.unfinished)} not ended" if len(quantity.unfinished) else ""
    cut += f", {quantity.set_aside} set aside as no longer than what the design adds" if quantity.set_aside else ""
    parts = [
        f"{quantity.name}: {len(quantity.done)} {'observation' if len(quantity.done) == 1 else 'observations'}{cut}"
    ]
    high = put(figure.posterior.median_high) if figure.posterior.median_high < inf else "unknown"
    median = (
        f"median {put(exp(figure.posterior.moments.mean))}, 95 % interval {put(figure.posterior.median_low)} to {high}"
    )
    plan = "" if figure.prior is None else f"; the plan alone {put(exp(figure.prior.mean))}"
    parts.append(f"{median}{plan}; the field alone {put(exp(figure.seen.mean))}")
    return "; ".join([*parts, *([quantity.remark] if quantity.remark else [])])


def rate_value(rate: TroubleRate, scenario: Scenario) -> str:
    """As the scenario states it: what multiplies every trouble is not in it."""
    if rate.by_chance:
        return percentages(min(rate.rate.value / scenario.trouble_factor, 1.0))
    return times(rate.rate.value * scenario.trouble_factor)


def rate_evidence(rate: TroubleRate) -> str:
    """`screen-out: 6 strikes in 294 jobs; 1.75 % [0.88 %, 2.9 %], ...`."""
    put = percentages if rate.by_chance else times
    seen = f"{rate.strikes} in " + (f"{rate.jobs} jobs" if rate.by_chance else f"{rate.hours:.0f} h of work")
    interval = f"95 % interval {put(rate.rate.low)} to {put(rate.rate.high)}"
    alone = "unknown" if rate.rate.data == inf else put(rate.rate.data)
    plan = f"{put(rate.prior)}, which weighs nothing" if rate.planned_never else put(rate.prior)
    return f"{rate.name}: {seen}; {interval}; the plan alone {plan}; the field alone {alone}"


def refuse_unusable(file: Path, text: str, alternative: str | None = None) -> None:
    """Raises ScenarioError where the scenario does not take the patch, before anything is written."""
    with TemporaryDirectory() as folder:
        trial = Path(folder) / "patch.yaml"
        trial.write_text(text, encoding="utf-8")
        load(file, alternative, trial)
