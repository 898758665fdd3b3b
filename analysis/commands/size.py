"""`padtempo size`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    ALTERNATIVE,
    OUT,
    OVERWRITE,
    RESUME,
    SCENARIO,
    SEED,
    WORKERS,
    console,
    resume_needs_a_run,
    taken_up,
)
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
@RESUME
def size(
    file: Path,
    alternative: str | None,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Find the cheapest combination of the scenario's section `choices` that keeps its promise, and how sure it is."""
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.studies.sizing_run import Order, carry_out

    def work() -> bool:
        n, luck = taken_up("replications"), taken_up("seed")
        order = Order(file, alternative, n, luck, workers, out, overwrite, resume)
        return carry_out(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
