"""`padtempo update`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    A_PATH,
    ALTERNATIVE,
    COLUMNS,
    FIELD_LOG,
    PRIOR_WEIGHT,
    REPLICATIONS,
    SCENARIO,
    SEED,
    STRICT,
    WORKERS,
    console,
)
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="New dates from what has happened so far, and what moved them.")
@SCENARIO
@FIELD_LOG
@click.option("--as-of", "as_of", required=True, metavar="TIME", help="Local date and time up to which LOG is used.")
@COLUMNS
@STRICT
@click.option(
    "--level",
    "levels",
    multiple=True,
    metavar="VOLUME",
    help="Water in the storage at that time, such as '12 kbbl'; of others by name: 'North pond=20 kbbl'.",
)
@click.option("--patch", type=A_PATH, metavar="FILE", help="Play what is to come at the pace of this patch file.")
@click.option("--as-planned", is_flag=True, help="Play what is to come at the pace of the plan, not of LOG.")
@PRIOR_WEIGHT
@click.option(
    "--was", type=A_PATH, metavar="FILE", help="The plan before its scope was changed, if not that kept in DIR."
)
@ALTERNATIVE
@REPLICATIONS
@SEED
@WORKERS
@click.option("--out", type=A_PATH, metavar="DIR", help="Keep the history of forecasts and its picture there.")
def update(
    file: Path,
    log: Path,
    as_of: str,
    columns: Path | None,
    strict: bool,
    levels: tuple[str, ...],
    patch: Path | None,
    as_planned: bool,
    prior_weight: float,
    was: Path | None,
    alternative: str | None,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
) -> None:
    """Play a plan on from where its pad stands by a log of what happened: new dates, beside those forecast before.

    LOG is read as by `calibrate` and `lookback`; a row without an end is under way.
    """
    from analysis.updating.update_run import Order, carry_out

    if patch is not None and as_planned:
        raise click.UsageError("--patch does not go with --as-planned: either says at what pace the rest is played")
    order = Order(
        file, log, as_of, columns, strict, levels, patch, as_planned, prior_weight, was, alternative, replications,
        seed, workers, out,
    )  # fmt: skip
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
