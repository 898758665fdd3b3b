"""`padtempo compare`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    AT_MOST,
    OUT,
    OVERWRITE,
    REPLICATIONS,
    RESUME,
    SCENARIO,
    SEED,
    WORKERS,
    console,
    most_replications,
    resume_needs_a_run,
    taken_up,
)
from analysis.commands.refusal import STOPPED, refusing

CONFIDENCE = 95.0


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
@click.option(
    "--select", is_flag=True, help="Choose the best and drop each plan once it is surely not: needs less work."
)
@click.option("--indifference", metavar="'1 day'", help="With --select: the smallest lead that matters.")
@click.option(
    "--confidence",
    type=click.FloatRange(50, 99.9),
    metavar="PERCENT",
    help="With --select: how surely the best is chosen.  [default: 95]",
)
@AT_MOST
@SEED
@WORKERS
@OUT
@OVERWRITE
@RESUME
def compare(
    file: Path,
    alternatives: str | None,
    measure: str,
    replications: int,
    select: bool,
    indifference: str | None,
    confidence: float | None,
    at_most: int | None,
    seed: int,
    workers: int,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Set the plan against its alternatives under the same luck: by how much they differ, and which is the best."""
    needed = {"--indifference": indifference, "--confidence": confidence}
    most = most_replications("--select", given=select, needs_rule=needed, at_most=at_most)
    if select and indifference is None:
        raise click.UsageError("--select needs --indifference, the smallest lead that matters, such as '1 day'")
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    from analysis.comparing.comparison_run import Order, carry_out

    sure = (confidence or CONFIDENCE) / 100

    def work() -> bool:
        n, luck = taken_up("at_most" if select else "replications", most), taken_up("seed")
        order = Order(file, alternatives, measure, n, luck, workers, out, overwrite, indifference, sure, resume)
        return carry_out(order, console())

    if not refusing(work):
        raise SystemExit(STOPPED)
