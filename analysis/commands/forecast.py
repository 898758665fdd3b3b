"""`padtempo forecast`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    ALTERNATIVE,
    AT_MOST,
    OUT,
    OVERWRITE,
    REPLICATIONS,
    SCENARIO,
    SEED,
    WORKERS,
    console,
    most_replications,
)
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Run a scenario many times: dates with their chances.")
@SCENARIO
@ALTERNATIVE
@REPLICATIONS
@click.option(
    "--until",
    metavar="'P90 +-0.5 day'",
    help="Play until this is known so precisely: P1 to P99 or mean, of the last well on production or 'of' another "
    "milestone.",
)
@AT_MOST
@SEED
@WORKERS
@OUT
@OVERWRITE
def forecast(
    file: Path,
    alternative: str | None,
    replications: int,
    until: str | None,
    at_most: int | None,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
) -> None:
    """Run a scenario many times: dates with their chances for the pad and every well, and what the units wait for."""
    replications = most_replications("--until", given=until is not None, needs_rule={}, at_most=at_most)
    from analysis.forecast_run import Order, carry_out

    order = Order(file, alternative, replications, seed, workers, out, overwrite, until)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
