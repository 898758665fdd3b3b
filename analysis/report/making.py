"""The report command from end to end: read the run, play what it needs beside, write one file."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from analysis.forecasting.answer import answer
from analysis.forecasting.forecast import representative
from analysis.forecasting.summary import summarise
from analysis.pricing.ledger import reckon
from analysis.progress import Progress
from analysis.report.content import Content
from analysis.report.playing import Asked, play_for, plays_of
from analysis.runs.finished_run import FinishedRun, read_run
from analysis.runs.made_files import write_made
from analysis.runs.run_directory import RunDirectoryError
from analysis.wording import tell
from sim.pad import simulate

REPORT = "report.html"
USUAL = 300  # replications that are played for a report at most, where nobody states how many


class ReportOrder(NamedTuple):
    """What was asked for on the command line; without `replications` as many as the run has, up to the usual."""

    directory: Path
    replications: int | None
    workers: int
    alternatives: bool
    overwrite: bool


Watch = Callable[[int], Callable[[int], None]]


def make_report(order: ReportOrder, console: Console, watch: Watch | None = None) -> bool:
    """Write the report into the directory of its run. What cannot work is refused before anything is played.

    `watch` is told how much there is to play and gives back what hears of replications as they end, in the place of a
    bar on the terminal; KeyboardInterrupt raised there is Ctrl-C. Says whether all was played that was to be.
    """
    run = read_run(order.directory)
    _refuse_if_there(order)
    asked = Asked(_replications(order, run), order.workers, order.alternatives)
    for sentence in run.lacks:
        tell(console, f"Warning: {sentence}", style="bold")
    if watch is not None:
        played = play_for(run, asked, watch(plays_of(run, asked)))
    else:
        with Progress(plays_of(run, asked), sys.stderr) as progress:
            played = play_for(run, asked, progress.advance)
    log = simulate(run.forecast.scenario, representative(run.forecast), run.forecast.seed)
    content = Content(run, summarise(run.forecast), reckon(run.forecast), log, played)

    from analysis.report.page import html_of  # pictures, which what is refused does without

    write_made(order.directory, {REPORT: html_of(content)})
    for sentence in answer(content.summary):
        tell(console, sentence)
    tell(
        console,
        f"In {order.directory / REPORT}: the report, in one file that needs no network. Print it in a browser.",
    )
    if played.stopped:
        console.print("Stopped: the report holds what was played by then.", style="bold")
    return not played.stopped


def _replications(order: ReportOrder, run: FinishedRun) -> int:
    return min(run.forecast.replications, USUAL) if order.replications is None else order.replications


def _refuse_if_there(order: ReportOrder) -> None:
    path = order.directory / REPORT
    if path.is_dir():
        raise RunDirectoryError(f"{path}: is a directory; expected a place for a file")
    if path.exists() and not order.overwrite:
        raise RunDirectoryError(f"{path}: exists already; add --overwrite to replace it")
    if not os.access(order.directory, os.W_OK | os.X_OK):
        raise RunDirectoryError(f"{order.directory}: no permission to write there")
