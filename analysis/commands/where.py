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
    RESUME,
    SCENARIO,
    SEED,
    WORKERS,
    console,
    resume_needs_a_run,
    taken_up,
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
@RESUME
def where(
    file: Path,
    alternative: str | None,
    milestone: str,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Follow the chain of what a milestone waited for back to the start, and sum what its days went to."""
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.chains.chain_run import WhereOrder, carry_out_where

    def work() -> bool:
        n, luck = taken_up("replications"), taken_up("seed")
        order = WhereOrder(file, alternative, milestone, n, luck, workers, out, overwrite, resume)
        return carry_out_where(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
