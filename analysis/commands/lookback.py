"""`padtempo lookback`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import (
    A_PATH,
    ALTERNATIVE,
    COLUMNS,
    FIELD_LOG,
    PATCH,
    REPLICATIONS,
    SCENARIO,
    SEED,
    STRICT,
    WORKERS,
    console,
)
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="Compare a plan with a log of what happened: hours, dates, how far to trust them.")
@SCENARIO
@FIELD_LOG
@COLUMNS
@STRICT
@ALTERNATIVE
@PATCH
@REPLICATIONS
@SEED
@WORKERS
@click.option("--out", type=A_PATH, metavar="DIR", help="Keep tables and pictures there.")
def lookback(
    file: Path,
    log: Path,
    columns: Path | None,
    strict: bool,
    alternative: str | None,
    patch: Path | None,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
) -> None:
    """Compare the plan in FILE with LOG: hours by activity, unit and cause, dates against their forecast."""
    from analysis.field.lookback_run import LookbackOrder, carry_out

    order = LookbackOrder(file, alternative, patch, log, columns, strict, replications, seed, workers, out)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
