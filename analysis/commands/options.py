"""Arguments and options that several commands share, and the terminal that they print to."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import click

A_PATH = click.Path(path_type=Path, readable=False)  # whatever is wrong with it, our own messages say

SCENARIO = click.argument("file", type=A_PATH, metavar="FILE")
ALTERNATIVE = click.option("--alternative", metavar="NAME", help="One of the scenario's named alternatives.")
PATCH = click.option("--patch", type=A_PATH, metavar="FILE", help="Values laid over the scenario, as calibrate writes.")
FIELD_LOG = click.argument("log", type=A_PATH, metavar="LOG")
COLUMNS = click.option(
    "--columns", type=A_PATH, metavar="FILE", help="Column map: which headings and words the log uses for ours."
)
STRICT = click.option(
    "--strict", is_flag=True, help="Refuse a log with any oddity, instead of naming what is left out."
)
REPLICATIONS = click.option(
    "--replications",
    type=click.IntRange(1, 10_000_000),
    default=300,
    show_default=True,
    metavar="N",
    help="How many times to play the plan.",
)
SEED = click.option(
    "--seed", type=click.IntRange(0), default=0, show_default=True, metavar="N", help="Same seed, same numbers."
)
WORKERS = click.option(
    "--workers",
    type=click.IntRange(1, 1024),
    default=os.cpu_count() or 1,
    show_default="all cores",
    metavar="N",
    help="How many processes to play it in; the numbers do not depend on it.",
)
OUT = click.option("--out", type=A_PATH, metavar="DIR", help="Keep tables, summary and pictures there.")
OVERWRITE = click.option("--overwrite", is_flag=True, help="Replace an earlier run in DIR.")


def console() -> Any:
    """As wide as the terminal; 130 letters into a file or a pipe. Names may hold brackets, so there is no markup."""
    from rich.console import Console

    known = sys.stdout.isatty() or "COLUMNS" in os.environ
    return Console(width=None if known else 130, markup=False, emoji=False, highlight=False)
