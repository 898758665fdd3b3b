"""The forecast command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.exports import dates_csv, summary_of
from analysis.forecast import forecast, representative
from analysis.progress import Progress
from analysis.run_directory import (
    FORMAT,
    MADE_BY,
    RunDirectory,
    create,
    scenario_hash,
    versions,
    write_manifest,
    write_part,
    write_summary,
    write_text,
)
from analysis.summary import Summary, summarise
from analysis.terminal import show
from sim.log import Log
from sim.pad import simulate
from sim.scenario import load, read, stated


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool
    patch: Path | None = None


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario, manifest = load(order.file, order.alternative, order.patch), _manifest(order)
    run = None if order.out is None else create(order.out, order.overwrite)
    if run is not None:
        write_manifest(run, manifest)
    with Progress(order.replications, sys.stderr) as progress:
        played = forecast(scenario, order.replications, order.seed, order.workers, run, progress.advance)
    summary = summarise(played)
    show(summary, console)
    if played.interrupted:
        console.print(f"Stopped: {played.replications} of {played.asked} replications were done.", style="bold")
    if run is not None:
        _leave_files(run, manifest, summary)
        console.print(f"\nIn {run.path}: summary.json, dates.csv, manifest.json, tables, pictures.")
    return not played.interrupted


def _manifest(order: Order) -> dict[str, Any]:
    """What the run is, before anything is played; the file may be changed while it goes on."""
    plan = stated(read(order.file, order.alternative, order.patch))
    return {
        "made_by": MADE_BY,
        "format": FORMAT,
        "alternative": order.alternative,
        "scenario_hash": scenario_hash(plan),
        "seed": order.seed,
        "replications_asked": order.replications,
        "replications_done": 0,
        "versions": versions(),
        "scenario": plan,
    }


def _leave_files(run: RunDirectory, manifest: dict[str, Any], summary: Summary) -> None:
    from analysis.pictures import draw  # matplotlib, which a forecast without files does not need

    played = summary.forecast
    number = representative(played)
    log = simulate(played.scenario, number, played.seed)
    _write_log(run, log)
    write_summary(run, summary_of(summary) | {"representative_replication": number})
    write_text(run, "dates.csv", dates_csv(summary))
    draw(summary, log, run.pictures)
    write_manifest(run, manifest | {"replications_done": played.replications})


def _write_log(run: RunDirectory, log: Log) -> None:
    """The full log of one replication, as the part that bears its number."""
    write_part(run, "log", log.replication, [(log.replication, *row) for row in log.intervals])
    write_part(run, "levels", log.replication, [(log.replication, *row) for row in log.levels])
