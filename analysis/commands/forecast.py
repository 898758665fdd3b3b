"""`padtempo forecast`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import ALTERNATIVE, OUT, OVERWRITE, PATCH, REPLICATIONS, SCENARIO, SEED, WORKERS, console
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Run a scenario many times: dates with their chances.")
@SCENARIO
@ALTERNATIVE
@PATCH
@REPLICATIONS
@SEED
@WORKERS
@OUT
@OVERWRITE
def forecast(
    file: Path,
    alternative: str | None,
    patch: Path | None,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
) -> None:
    """Run a scenario many times: dates with their chances for the pad and every well, and what the units wait for."""
    from analysis.forecast_run import Order, carry_out

    order = Order(file, alternative, replications, seed, workers, out, overwrite, patch)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
