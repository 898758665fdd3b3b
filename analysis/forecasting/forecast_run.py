"""The forecast command from end to end: load, refuse what cannot work, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from collections.abc import Callable, Collection
from contextlib import ExitStack, nullcontext
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.asked import MOST
from analysis.forecasting.exports import dates_csv, summary_of
from analysis.forecasting.forecast import TABLES, forecast, representative
from analysis.forecasting.forecast_until import Sized, chunks_until, forecast_until
from analysis.forecasting.precision import STOPPED_ITSELF, Target, target_of
from analysis.forecasting.summary import Summary, summarise
from analysis.forecasting.supply_table import supplies_csv
from analysis.forecasting.terminal import show
from analysis.handing_on.plan_files import made_of
from analysis.pricing.ledger import Ledger, reckon
from analysis.pricing.money_exports import ledger_of
from analysis.pricing.money_pictures import draw_money
from analysis.progress import Progress
from analysis.runs.made_files import write_made
from analysis.runs.run_directory import (
    RunDirectory,
    naming,
    write_manifest,
    write_part,
    write_summary,
    write_text,
)
from analysis.runs.run_manifest import FORECAST, manifest_of
from analysis.runs.run_opening import GO_ON, Tables, opened, say_what_is_there, stored
from analysis.wording import tell
from sim.cluster import Cluster, connected
from sim.log import Log
from sim.pad import simulate
from sim.replications import Chunk, chunks_of
from sim.scenario import Scenario, load, read, stated

REPLICATIONS, SEED = 300, 0  # where neither the command line nor a run that is taken up says more


class Order(NamedTuple):
    """What was asked for on the command line; None where a run that is taken up decides."""

    file: Path
    alternative: str | None
    replications: int | None
    seed: int | None
    workers: int
    out: Path | None
    overwrite: bool
    until: str | None = None  # how precisely to know what; `replications` is then the most to play
    resume: bool = False
    cluster: str | None = None
    patch: Path | None = None


class Played(NamedTuple):
    """What was played, and what was made of it."""

    summary: Summary
    ledger: Ledger
    sized: Sized | None


Watch = Callable[[int], None]  # hears of replications as they end


def carry_out(order: Order, console: Console, watch: Watch | None = None) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    `watch` hears of replications as they end, in the place of a bar on the terminal; raising KeyboardInterrupt in it
    is Ctrl-C.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative, order.patch)
    manifest = _manifest(order)
    target = None if "until" not in manifest else target_of("--until", manifest["until"])
    with ExitStack() as stack:
        workers = order.workers if order.cluster is None else stack.enter_context(connected(order.cluster))
        if order.out is None:
            return _show(_play(scenario, manifest, workers, target, watch=watch), console)
        kept = Tables(TABLES, _chunks(manifest))
        run, done = stack.enter_context(opened(order.out, manifest, order.overwrite, order.resume, kept))
        played = _play(scenario, manifest, workers, target, run, done, watch)
        complete = _show(played, console)
        made = _leave_files(run, manifest, played)
        console.print(f"\nIn {run.path}: summary.json, dates.csv, {', '.join(made)}, manifest.json, tables, pictures.")
        if not complete:
            console.print(GO_ON)
        return complete


def _chunks(manifest: dict[str, Any]) -> list[Chunk]:
    n = manifest["replications_asked"]
    return chunks_until(n) if "until" in manifest else chunks_of(n)


def _play(
    scenario: Scenario,
    manifest: dict[str, Any],
    workers: int | Cluster,
    target: Target | None,
    run: RunDirectory | None = None,
    done: Collection[int] = (),
    watch: Watch | None = None,
) -> Played:
    n, seed = manifest["replications_asked"], manifest["seed"]
    there = sum(len(replications) for number, replications in _chunks(manifest) if number in done)
    if watch is None:
        say_what_is_there(run, there, n, "summary, dates and pictures", at_most=target is not None)
    bar = Progress(n, sys.stderr, there, at_most=target is not None)
    with bar if watch is None else nullcontext():
        hear = bar.advance if watch is None else watch
        if target is not None:
            sized = forecast_until(scenario, target, n, seed, workers, run, hear, done)
            return Played(summarise(sized.forecast), reckon(sized.forecast), sized)
        played = forecast(scenario, n, seed, workers, run, hear, done)
        return Played(summarise(played), reckon(played), None)


def _show(played: Played, console: Console) -> bool:
    done = played.summary.forecast
    if played.sized is not None:
        tell(console, f"{played.sized.answer()} {STOPPED_ITSELF}")
    show(played.summary, console, played.ledger)
    if done.interrupted:
        console.print(f"Stopped: {done.replications} of {done.asked} replications were done.", style="bold")
    return not done.interrupted


def _manifest(order: Order) -> dict[str, Any]:
    """What the run is, before anything is played; the file may be changed while it goes on."""
    plan, there = stated(read(order.file, order.alternative, order.patch)), _taken_up(order)
    until = there.get("until") if order.until is None and order.replications is None else order.until
    return manifest_of(
        FORECAST,
        plan,
        _first_known(order.seed, there.get("seed"), SEED),
        _first_known(order.replications, there.get("replications_asked"), REPLICATIONS if until is None else MOST),
        {"alternative": order.alternative} | ({} if until is None else {"until": until}),
    )


def _taken_up(order: Order) -> dict[str, Any]:
    return (stored(order.out) if order.resume and order.out is not None else None) or {}


def _first_known(*numbers: int | None) -> int:
    return next(number for number in numbers if number is not None)


def _leave_files(run: RunDirectory, manifest: dict[str, Any], of: Played) -> list[str]:
    """Write everything; names the files that planners and calendars read."""
    from analysis.forecasting.pictures import draw  # matplotlib, which a forecast without files does not need

    summary, played = of.summary, of.summary.forecast
    more = {} if of.sized is None else {"until": of.sized.as_data()}
    number = representative(played)
    log = simulate(played.scenario, number, played.seed)
    _write_log(run, log)
    write_summary(run, summary_of(summary) | more | {"representative_replication": number} | ledger_of(of.ledger))
    write_text(run, "dates.csv", dates_csv(summary))
    if summary.supplies:
        write_text(run, "supplies.csv", supplies_csv(summary.supplies))
    with naming(run.pictures):
        draw(summary, log, run.pictures)
        draw_money(of.ledger, run.pictures)
    made = made_of(summary, of.ledger, log)
    write_made(run.path, made)
    write_manifest(run, manifest | {"replications_done": played.replications})
    return ["supplies.csv", *made] if summary.supplies else list(made)


def _write_log(run: RunDirectory, log: Log) -> None:
    """The full log of one replication, as the part that bears its number."""
    write_part(run, "log", log.replication, [(log.replication, *row) for row in log.intervals])
    write_part(run, "levels", log.replication, [(log.replication, *row) for row in log.levels])
