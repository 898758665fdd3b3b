"""`padtempo sweep`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    ALTERNATIVE,
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


@click.command(short_help="Show how a date answers to one or two numbers of the plan.")
@SCENARIO
@ALTERNATIVE
@click.option(
    "--vary",
    required=True,
    multiple=True,
    metavar="PATH=LOW..HIGH[:N]",
    help="What to vary, once or twice: a range with its units and how many values, or a list PATH=a,b,c.",
)
@click.option(
    "--measure",
    default="every well on production",
    show_default=True,
    metavar="MILESTONE",
    help="Which date to look at; of one well, 'WELL: drilled out'.",
)
@REPLICATIONS
@SEED
@WORKERS
@OUT
@OVERWRITE
@RESUME
def sweep(
    file: Path,
    alternative: str | None,
    vary: tuple[str, ...],
    measure: str,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Show how a date answers to one or two numbers of the plan: "water.transfer.limit=30 kbbl/day..90 kbbl/day:9".

    All points share the luck. With one number the knee is found, where one more step stops paying; two make a map.
    """
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.studies.sweep_run import Order, carry_out

    def work() -> bool:
        n, luck = taken_up("replications"), taken_up("seed")
        order = Order(file, alternative, vary, measure, n, luck, workers, out, overwrite, resume)
        return carry_out(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
