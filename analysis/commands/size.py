"""`padtempo size`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import ALTERNATIVE, OUT, OVERWRITE, SCENARIO, SEED, WORKERS, console
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Find the cheapest choice that keeps a promise.")
@SCENARIO
@ALTERNATIVE
@click.option(
    "--replications",
    type=click.IntRange(50, 1_000_000),
    default=400,
    show_default=True,
    metavar="N",
    help="How many times to play each candidate at most; most are judged earlier.",
)
@SEED
@WORKERS
@OUT
@OVERWRITE
def size(
    file: Path, alternative: str | None, replications: int, seed: int, workers: int, out: Path | None, overwrite: bool
) -> None:
    """Find the cheapest combination of the scenario's section `choices` that keeps its promise, and how sure it is."""
    from analysis.studies.sizing_run import Order, carry_out

    order = Order(file, alternative, replications, seed, workers, out, overwrite)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
