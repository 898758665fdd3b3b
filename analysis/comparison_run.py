"""The compare command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.comparison import compare
from analysis.comparison_exports import manifest_of, summary_of
from analysis.comparison_tables import show
from analysis.pad_measures import measure_called
from analysis.plans import Stated, plans_of
from analysis.progress import Progress
from analysis.run_directory import create, refuse_if_unusable, write_manifest, write_summary
from analysis.verdict import Verdict, judge


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternatives: str | None
    measure: str
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played; files are written when all is played.

    Says whether all was played that was asked for.
    """
    measure = measure_called("--measure", order.measure)
    if order.out is not None:
        refuse_if_unusable(order.out, order.overwrite)
    stated = plans_of(order.file, order.alternatives)
    with Progress(order.replications * len(stated.plans), sys.stderr) as progress:
        played = compare(stated.plans, order.replications, order.seed, order.workers, progress.advance)
    verdict = judge(played, measure)
    show(verdict, console)
    if played.interrupted:
        console.print(
            f"Stopped: {played.replications} of {played.asked} replications of each plan were done.", style="bold"
        )
    if order.out is not None:
        _leave_files(order, order.out, stated, verdict)
        console.print(f"\nIn {order.out}: summary.json, manifest.json, pictures.")
    return not played.interrupted


def _leave_files(order: Order, out: Path, stated: Stated, verdict: Verdict) -> None:
    from analysis.comparison_pictures import draw  # matplotlib, which a comparison without files does not need

    run = create(out, order.overwrite)
    asked: dict[str, Any] = {"measure": verdict.measure.name, "replications_asked": order.replications}
    done = {"replications_done": verdict.comparison.replications}
    write_manifest(run, manifest_of(stated, order.seed, asked | done))
    write_summary(run, summary_of(verdict))
    draw(verdict, run.pictures)
