"""`padtempo update`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH, ALTERNATIVE, REPLICATIONS, SCENARIO, SEED, WORKERS, console
from analysis.commands.refusal import STOPPED, refusing


@click.command(short_help="New dates from what has happened so far, and what moved them.")
@SCENARIO
@click.argument("log", type=A_PATH, metavar="LOG")
@click.option("--as-of", "as_of", required=True, metavar="TIME", help="Local date and time up to which LOG is used.")
@click.option("--columns", type=A_PATH, metavar="MAP", help="YAML file of their words and ours: {their word: ours}.")
@click.option("--level", metavar="'12 kbbl'", help="Water in the storage at that time.")
@click.option("--patch", type=A_PATH, metavar="PATCH", help="YAML file of {path: value} for what is to come.")
@click.option("--was", type=A_PATH, metavar="FILE", help="The plan before its scope was changed.")
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
    level: str | None,
    patch: Path | None,
    was: Path | None,
    alternative: str | None,
    replications: int,
    seed: int,
    workers: int,
    out: Path | None,
) -> None:
    """Play a plan on from where its pad stands by a log of what happened: new dates, beside those forecast before.

    LOG is a CSV with the columns start, end, unit, activity, well, stage and cause; a row without an end is under way.
    """
    from analysis.updating.update_run import Order, carry_out

    order = Order(file, log, as_of, columns, level, patch, was, alternative, replications, seed, workers, out)
    if not refusing(lambda: carry_out(order, console())):
        raise SystemExit(STOPPED)
