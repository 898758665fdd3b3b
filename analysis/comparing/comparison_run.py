"""The compare command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from analysis.asked import understood
from analysis.comparing.comparison import compare
from analysis.comparing.comparison_exports import summary_of
from analysis.comparing.comparison_tables import show
from analysis.comparing.plans import Stated, plans_of
from analysis.comparing.verdict import judge
from analysis.pad_measures import PadMeasure, amount_of, measure_called
from analysis.progress import Progress
from analysis.runs.run_directory import RunDirectory, create, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of


class Order(NamedTuple):
    """What was asked for on the command line. With an `indifference`, a plan is to be selected."""

    file: Path
    alternatives: str | None
    measure: str
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool
    indifference: str | None = None
    confidence: float = 0.95


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    measure, stated = understood(lambda: _asked(order), lambda: plans_of(order.file, order.alternatives))
    run = None if order.out is None else create(order.out, order.overwrite)
    asked = {"plans": list(stated.plans), "measure": measure.name}
    manifest = manifest_of("compare", stated.scenario, order.seed, order.replications, asked)
    if run is not None:
        write_manifest(run, manifest)
    carried_out = _compare if order.indifference is None else _select
    done, whole = carried_out(order, measure, stated, run, console)
    if run is not None:
        write_manifest(run, manifest | {"replications_done": done})
    return whole


def _asked(order: Order) -> PadMeasure:
    """The measure, with an indifference that fits it if one is stated."""
    measure = measure_called("--measure", order.measure)
    if order.indifference is not None:
        amount_of("--indifference", order.indifference, measure)
    return measure


def _compare(
    order: Order, measure: PadMeasure, stated: Stated, run: RunDirectory | None, console: Console
) -> tuple[dict[str, int], bool]:
    """Replications of each plan, and whether that is all that was asked for."""
    with Progress(order.replications * len(stated.plans), sys.stderr) as progress:
        played = compare(stated.plans, order.replications, order.seed, order.workers, progress.advance)
    verdict = judge(played, measure)
    show(verdict, console)
    if played.interrupted:
        done = f"Stopped: {played.replications} of {played.asked} replications of each plan were done."
        console.print(done, style="bold")
    if run is not None:
        from analysis.comparing.comparison_pictures import (
            draw,  # matplotlib, which a comparison without files does not need
        )

        write_summary(run, summary_of(verdict))
        draw(verdict, run.pictures)
        console.print(f"\nIn {run.path}: summary.json, manifest.json, pictures.")
    return dict.fromkeys(stated.plans, played.replications), not played.interrupted


def _select(
    order: Order, measure: PadMeasure, stated: Stated, run: RunDirectory | None, console: Console
) -> tuple[dict[str, int], bool]:
    from analysis.comparing import selection_report
    from analysis.comparing.selection_run import Rule, race

    amount = amount_of("--indifference", order.indifference or "", measure)
    rule = Rule(measure, amount, order.confidence, order.replications)
    with Progress(order.replications * len(stated.plans), sys.stderr, at_most=True) as progress:
        played = race(stated.plans, rule, order.seed, order.workers, progress.advance)
    selection_report.show(played, console)
    if run is not None:
        write_summary(run, selection_report.summary_of(played))
        console.print(f"\nIn {run.path}: summary.json, manifest.json.")
    return played.played, not played.stopped
