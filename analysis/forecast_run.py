"""The forecast command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.exports import dates_csv, summary_of
from analysis.forecast import forecast, representative
from analysis.forecast_until import forecast_until
from analysis.ledger import Ledger, reckon
from analysis.made_files import clear_made, write_made
from analysis.money_exports import ledger_of
from analysis.money_pictures import draw_money
from analysis.plan_files import made_of
from analysis.precision import STOPPED_ITSELF, target_of
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
from analysis.supply_table import supplies_csv
from analysis.terminal import show
from analysis.wording import tell
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
    until: str | None = None  # how precisely to know what; `replications` is then the most to play


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    target = None if order.until is None else target_of("--until", order.until)
    scenario, manifest = load(order.file, order.alternative), _manifest(order)
    run = None if order.out is None else create(order.out, order.overwrite)
    if run is not None:
        clear_made(run.path)
        write_manifest(run, manifest)
    with Progress(order.replications, sys.stderr, at_most=target is not None) as progress:
        asked = (order.seed, order.workers, run, progress.advance)
        sized = None if target is None else forecast_until(scenario, target, order.replications, *asked)
        played = sized.forecast if sized is not None else forecast(scenario, order.replications, *asked)
    summary, ledger = summarise(played), reckon(played)
    if sized is not None:
        tell(console, f"{sized.answer()} {STOPPED_ITSELF}")
    show(summary, console, ledger)
    if played.interrupted:
        console.print(f"Stopped: {played.replications} of {played.asked} replications were done.", style="bold")
    if run is not None:
        made = _leave_files(run, manifest, summary, ledger, {} if sized is None else {"until": sized.as_data()})
        console.print(f"\nIn {run.path}: summary.json, dates.csv, {', '.join(made)}, manifest.json, tables, pictures.")
    return not played.interrupted


def _manifest(order: Order) -> dict[str, Any]:
    """What the run is, before anything is played; the file may be changed while it goes on."""
    plan = stated(read(order.file, order.alternative))
    return {
        "made_by": MADE_BY,
        "format": FORMAT,
        "alternative": order.alternative,
        "scenario_hash": scenario_hash(plan),
        "seed": order.seed,
        "replications_asked": order.replications,
        **({} if order.until is None else {"until": order.until}),
        "replications_done": 0,
        "versions": versions(),
        "scenario": plan,
    }


def _leave_files(
    run: RunDirectory, manifest: dict[str, Any], summary: Summary, ledger: Ledger, more: dict[str, Any]
) -> list[str]:
    """Write everything; names the files that planners and calendars read."""
    from analysis.pictures import draw  # matplotlib, which a forecast without files does not need

    played = summary.forecast
    number = representative(played)
    log = simulate(played.scenario, number, played.seed)
    _write_log(run, log)
    write_summary(run, summary_of(summary) | more | {"representative_replication": number} | ledger_of(ledger))
    write_text(run, "dates.csv", dates_csv(summary))
    if summary.supplies:
        write_text(run, "supplies.csv", supplies_csv(summary.supplies))
    draw(summary, log, run.pictures)
    draw_money(ledger, run.pictures)
    made = made_of(summary, ledger, log)
    write_made(run.path, made)
    write_manifest(run, manifest | {"replications_done": played.replications})
    return ["supplies.csv", *made] if summary.supplies else list(made)


def _write_log(run: RunDirectory, log: Log) -> None:
    """The full log of one replication, as the part that bears its number."""
    write_part(run, "log", log.replication, [(log.replication, *row) for row in log.intervals])
    write_part(run, "levels", log.replication, [(log.replication, *row) for row in log.levels])
