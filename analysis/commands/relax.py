"""`padtempo relax`."""

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


@click.command(short_help="Lift each limit of the plan in turn: what would buy a week.")
@SCENARIO
@ALTERNATIVE
@MILESTONE
@click.option(
    "--also",
    multiple=True,
    metavar="CHANGE",
    help="One more thing to try: PATH=VALUE, or the name of one of the scenario's alternatives. May be repeated.",
)
@REPLICATIONS
@SEED
@WORKERS
@OUT
@OVERWRITE
@RESUME
def relax(
    file: Path,
    alternative: str | None,
    milestone: str,
    also: tuple[str, ...],
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Lift each limit of the plan in turn, under the same luck, and rank the days that this gains to a milestone."""
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.relaxing.relax_run import RelaxOrder, carry_out_relax

    def work() -> bool:
        n, luck = taken_up("replications"), taken_up("seed")
        order = RelaxOrder(file, alternative, milestone, also, n, luck, workers, out, overwrite, resume)
        return carry_out_relax(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
