"""`padtempo report`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH, WORKERS, console
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="One HTML file of a finished run, to read, zoom and print.")
@click.argument("directory", type=A_PATH, metavar="DIR")
@click.option(
    "--replications",
    type=click.IntRange(1, 10_000_000),
    metavar="N",
    help="How many times to play the plan and each alternative for the report.  [default: as the run, at most 300]",
)
@click.option("--no-alternatives", is_flag=True, help="Leave the scenario's alternatives out, which takes less time.")
@WORKERS
@click.option("--overwrite", is_flag=True, help="Replace an earlier report.")
def report(directory: Path, replications: int | None, no_alternatives: bool, workers: int, overwrite: bool) -> None:
    """Write DIR/report.html from the run in DIR, kept by forecast --out.

    The run itself is not played again. What a forecast does not keep is played for the report under the same luck: what
    the last well waited for, and the scenario's alternatives.
    """
    from analysis.report.making import ReportOrder, make_report

    order = ReportOrder(directory, replications, workers, not no_alternatives, overwrite)
    if not refusing(lambda: make_report(order, console())):
        raise SystemExit(STOPPED)
