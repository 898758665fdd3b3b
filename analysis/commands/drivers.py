"""`padtempo drivers`."""

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


@click.command(short_help="Show which uncertain inputs a date depends on, and what is luck.")
@SCENARIO
@ALTERNATIVE
@click.option(
    "--measure",
    default="every well on production",
    show_default=True,
    metavar="MILESTONE",
    help="Which date to look at; of one well, 'WELL: drilled out'.",
)
@click.option(
    "--samples",
    type=click.Choice(["32", "64", "128", "256", "512", "1024", "2048", "4096"]),
    default="256",
    show_default=True,
    metavar="N",
    help="Base sample of the variance shares, a power of two; it takes N times (inputs + 3) plays.",
)
@click.option(
    "--replications",
    type=click.IntRange(2, 100_000),
    default=100,
    show_default=True,
    metavar="N",
    help="How many times to play each end of each input.",
)
@SEED
@WORKERS
@OUT
@OVERWRITE
@RESUME
def drivers(
    file: Path,
    alternative: str | None,
    measure: str,
    samples: str,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Show which inputs of the scenario's section `uncertain` a date depends on, and how much of its spread is luck."""
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.studies.drivers_run import Order, carry_out

    def work() -> bool:
        n, luck = taken_up("replications"), taken_up("seed")
        base = int(taken_up("samples"))
        order = Order(file, alternative, measure, base, n, luck, workers, out, overwrite, resume)
        return carry_out(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
