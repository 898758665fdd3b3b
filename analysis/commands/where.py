"""`padtempo where`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    ALTERNATIVE,
    MILESTONE,
    OUT,
    OVERWRITE,
    REPLICATIONS,
    SCENARIO,
    SEED,
    WORKERS,
    console,
)
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Show where the days to a milestone go.")
@SCENARIO
@ALTERNATIVE
@MILESTONE
@REPLICATIONS
@SEED
@WORKERS
@OUT
@OVERWRITE
def where(
    file: Path,
    alternative: str | None,
    milestone: str,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
) -> None:
    """Follow the chain of what a milestone waited for back to the start, and sum what its days went to."""
    from analysis.chains.chain_run import WhereOrder, carry_out_where

    order = WhereOrder(file, alternative, milestone, replications, seed, workers, out, overwrite)
    if not refusing(lambda: carry_out_where(order, console())):
        raise SystemExit(STOPPED)
