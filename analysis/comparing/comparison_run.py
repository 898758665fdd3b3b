"""The compare command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.asked import understood
from analysis.comparing.comparison import TABLE, compare, keeping
from analysis.comparing.comparison_exports import summary_of
from analysis.comparing.comparison_tables import show
from analysis.comparing.plans import Stated, plans_of
from analysis.comparing.selection_run import chunks_to
from analysis.comparing.verdict import judge
from analysis.measures import PadRow
from analysis.pad_measures import PadMeasure, amount_of, measure_called
from analysis.progress import Progress
from analysis.runs.kept_plays import Kept, parts_of
from analysis.runs.run_directory import write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import GO_ON, Tables, opened_if, say_what_is_there
from sim.replications import chunks_of


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
    resume: bool = False


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    measure, stated = understood(lambda: _asked(order), lambda: plans_of(order.file, order.alternatives))
    chunks = chunks_of(order.replications) if order.indifference is None else chunks_to(order.replications)
    tables = Tables((TABLE,), parts_of(list(stated.plans), chunks))
    manifest = manifest_of("compare", stated.scenario, order.seed, order.replications, _as_data(order, measure, stated))
    with opened_if(order.out, manifest, order.overwrite, order.resume, tables) as run:
        kept = keeping(run, stated.plans, chunks)
        carried_out = _compare if order.indifference is None else _select
        done, whole = carried_out(order, measure, stated, kept, console)
        if run is not None:
            write_manifest(run, manifest | {"replications_done": done})
            if not whole:
                console.print(GO_ON)
    return whole


def _as_data(order: Order, measure: PadMeasure, stated: Stated) -> dict[str, Any]:
    asked = {"plans": list(stated.plans), "measure": measure.name}
    if order.indifference is None:
        return asked
    return asked | {"indifference": order.indifference, "confidence": order.confidence}


def _asked(order: Order) -> PadMeasure:
    """The measure, with an indifference that fits it if one is stated."""
    measure = measure_called("--measure", order.measure)
    if order.indifference is not None:
        amount_of("--indifference", order.indifference, measure)
    return measure


def _compare(
    order: Order, measure: PadMeasure, stated: Stated, kept: Kept[PadRow], console: Console
) -> tuple[dict[str, int], bool]:
    """Replications of each plan, and whether that is all that was asked for."""
    there, total = kept.count(stated.plans, chunks_of(order.replications)), order.replications * len(stated.plans)
    say_what_is_there(kept.run, there, total)
    with Progress(total, sys.stderr, there) as progress:
        played = compare(stated.plans, order.replications, order.seed, order.workers, progress.advance, kept)
    verdict = judge(played, measure)
    show(verdict, console)
    if played.interrupted:
        done = f"Stopped: {played.replications} of {played.asked} replications of each plan were done."
        console.print(done, style="bold")
    if kept.run is not None:
        from analysis.comparing.comparison_pictures import (
            draw,  # matplotlib, which a comparison without files does not need
        )

        write_summary(kept.run, summary_of(verdict))
        draw(verdict, kept.run.pictures)
        console.print(f"\nIn {kept.run.path}: summary.json, manifest.json, tables, pictures.")
    return dict.fromkeys(stated.plans, played.replications), not played.interrupted


def _select(
    order: Order, measure: PadMeasure, stated: Stated, kept: Kept[PadRow], console: Console
) -> tuple[dict[str, int], bool]:
    from analysis.comparing import selection_report
    from analysis.comparing.selection_run import Rule, race

    amount = amount_of("--indifference", order.indifference or "", measure)
    rule = Rule(measure, amount, order.confidence, order.replications)
    there, total = kept.count(stated.plans, chunks_to(order.replications)), order.replications * len(stated.plans)
    say_what_is_there(kept.run, there, total, at_most=True)
    with Progress(total, sys.stderr, there, at_most=True) as progress:
        played = race(stated.plans, rule, order.seed, order.workers, progress.advance, kept)
    selection_report.show(played, console)
    if kept.run is not None:
        write_summary(kept.run, selection_report.summary_of(played))
        console.print(f"\nIn {kept.run.path}: summary.json, manifest.json, tables.")
    return played.played, not played.stopped
