"""`padtempo compare`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import OUT, OVERWRITE, REPLICATIONS, SCENARIO, SEED, WORKERS, console
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Set the plan against its alternatives under the same luck.")
@SCENARIO
@click.option("--alternatives", metavar="A,B,C", help="Which of the scenario's alternatives; all if not stated.")
@click.option(
    "--measure",
    metavar="NAME",
    default="last well on production",
    show_default=True,
    help="What to compare: a milestone of the pad, or a pace such as 'stages per day'.",
)
@REPLICATIONS
@SEED
@WORKERS
@OUT
@OVERWRITE
def compare(
    file: Path,
    alternatives: str | None,
    measure: str,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
) -> None:
    """Set the plan against its alternatives under the same luck: by how much they differ, and which is the best."""
    from analysis.comparison_run import Order, carry_out

    order = Order(file, alternatives, measure, replications, seed, workers, out, overwrite)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
