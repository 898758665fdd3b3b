"""The fieldlog command from end to end: invent a truth, play it once, write it down as people do."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from analysis.field.calibration_run import refuse_existing, write
from analysis.field.hidden_truth import Patch, truth_of
from analysis.field.patch_text import refuse_unusable
from analysis.field.synthetic import InventedLog, invented_log
from analysis.wording import tell
from sim.scenario import load, read, validate
from sim.scenario.document import Document, Node, Place, node_of
from sim.scenario.patches import with_patches
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import Scenario
from sim.scenario.written import as_written


class FieldlogOrder(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    truth: Path | None
    seed: int
    until: datetime | None
    out: Path


def carry_out(order: FieldlogOrder, console: Console) -> None:
    """Do it. Whatever cannot work is refused before anything is written."""
    beside = order.out.with_suffix(".truth.yaml")
    scenario = load(order.file, order.alternative)
    for path in (order.out, beside):
        refuse_existing(path)
    _refuse_nothing(order.until, scenario)
    document = read(order.file, order.alternative)
    patch = truth_of(scenario, document, order.seed) if order.truth is None else {}
    played = load(order.file, order.alternative, order.truth) if order.truth else with_truth(document, patch)
    log = invented_log(played, order.seed, order.until)
    text = _truth_text(patch, log, order)
    refuse_unusable(order.file, text, order.alternative)
    write(order.out, log.csv())
    write(beside, text)
    slips = f"{len(log.slips)} slip{'s' * (len(log.slips) != 1)} of the pen"
    tell(
        console,
        f"Wrote {order.out}, an invented log of {len(log.rows):,} rows with {slips} in it, "
        f"and {beside}, the figures it was played with.",
    )
    console.print(f"Next: padtempo calibrate {order.file} {order.out}")


def _refuse_nothing(until: datetime | None, scenario: Scenario) -> None:
    if until is not None and until <= scenario.start:
        message = f"expected a moment after the plan's start, {scenario.start}"
        raise ScenarioError([Problem("--until", 0, "", message, str(until))])


def with_truth(document: Document, patch: Patch) -> Scenario:
    """The scenario as it is in truth."""
    root = node_of({}, Place("truth", 0))
    return validate(with_patches(document, Node({path: _node(path, each) for path, each in patch.items()}, root.place)))


def _node(path: str, value: object) -> Node:
    return node_of(value, Place("truth", 0, (path,)))


def _truth_text(patch: Patch, log: InventedLog, order: FieldlogOrder) -> str:
    """The patch, with the slips as comments; of a truth that was given only the slips."""
    lines = [f"# Invented: the figures behind {order.out.name}, seed {order.seed}. Slips put into the log on purpose:"]
    lines += [f"#   row {slip.row}: {slip.what}" for slip in log.slips]
    if order.truth is not None:
        return "\n".join(lines) + "\n" + order.truth.read_text(encoding="utf-8")
    return "\n".join(lines + [f"{json.dumps(path)}: {as_written(value)}" for path, value in patch.items()]) + "\n"
