"""`padtempo forecast`."""

from __future__ import annotations

from pathlib import Path

import click
from click.core import ParameterSource

from analysis.commands.options import (
    ALTERNATIVE,
    AT_MOST,
    CLUSTER,
    OUT,
    OVERWRITE,
    PATCH,
    REPLICATIONS,
    RESUME,
    SCENARIO,
    SEED,
    WORKERS,
    console,
    most_replications,
    resume_needs_a_run,
)
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Run a scenario many times: dates with their chances.")
@SCENARIO
@ALTERNATIVE
@PATCH
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
@CLUSTER
@OUT
@OVERWRITE
@RESUME
@click.pass_context
def forecast(
    context: click.Context,
    file: Path,
    alternative: str | None,
    patch: Path | None,
    replications: int,
    until: str | None,
    at_most: int | None,
    seed: int,
    workers: int,
    cluster: str | None,
    out: Path | None,
    overwrite: bool,
    resume: bool,
) -> None:
    """Run a scenario many times: dates with their chances for the pad and every well, and what the units wait for."""

    def said(name: str) -> bool:
        return context.get_parameter_source(name) is ParameterSource.COMMANDLINE

    most_replications("--until", given=until is not None, needs_rule={}, at_most=at_most)
    resume_needs_a_run(resume=resume, out=out, overwrite=overwrite)
    if cluster is not None and said("workers"):
        raise click.UsageError("--workers are processes here, --cluster has workers of its own: choose one of them")

    from analysis.forecasting.forecast_run import Order, carry_out

    n, luck = (replications if said("replications") else None), (seed if said("seed") else None)
    n = n if until is None else at_most
    order = Order(file, alternative, n, luck, workers, out, overwrite, until, resume, cluster, patch)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
