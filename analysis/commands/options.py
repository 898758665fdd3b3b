"""Arguments and options that several commands share, and the terminal that they print to."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from analysis.asked import MOST

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
PRIOR_WEIGHT = click.option(
    "--prior-weight",
    type=click.FloatRange(0, 10_000),
    default=5.0,
    show_default=True,
    metavar="N",
    help="How many observations the plan is worth; 0: only the log counts.",
)
REPLICATIONS = click.option(
    "--replications",
    type=click.IntRange(1, 10_000_000),
    default=300,
    show_default=True,
    metavar="N",
    help="How many times to play the plan.",
)
AT_MOST = click.option(
    "--at-most",
    type=click.IntRange(20, 10_000_000),
    metavar="N",
    help="How many times to play the plan at most.  [default: 10000]",
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
MILESTONE = click.option(
    "--milestone",
    metavar="NAME",
    default="every well on production",
    show_default=True,
    help="What to reach: that, or first production, or fracturing done, or a well by its name, on production.",
)
OUT = click.option("--out", type=A_PATH, metavar="DIR", help="Keep tables, summary and pictures there.")
RESUME = click.option(
    "--resume", is_flag=True, help="Go on with the run in DIR where it was stopped; more --replications extend it."
)
CLUSTER = click.option(
    "--cluster", metavar="ADDRESS", help="Play it on the Dask cluster whose scheduler is there; same numbers."
)
OVERWRITE = click.option("--overwrite", is_flag=True, help="Replace an earlier run in DIR.")


def most_replications(rule: str, *, given: bool, needs_rule: Mapping[str, object], at_most: int | None) -> int:
    """How many replications to play: at most, where a rule decides when to stop, or else all that were asked for.

    Refuses options that mean something only with the rule, or only without.
    """
    context = click.get_current_context()
    counted = context.get_parameter_source("replications") is not ParameterSource.DEFAULT
    stated = {"--at-most": at_most} | dict(needs_rule)
    wrong = [f"{option} needs {rule}" for option, value in stated.items() if value is not None and not given]
    if given and counted:
        wrong.append(f"--replications does not go with {rule}, which decides when to stop; state --at-most")
    if wrong:
        raise click.UsageError("; ".join(wrong))
    return (at_most or MOST) if given else int(context.params["replications"])


def resume_needs_a_run(*, resume: bool, out: Path | None, overwrite: bool) -> None:
    """Refuse to go on where nothing says with what."""
    if resume and (out is None or overwrite):
        raise click.UsageError("--resume goes on with the run in --out DIR, so it needs --out, and not --overwrite")


KEYS = {"replications": "replications_asked", "at_most": "replications_asked"}  # of options, in a manifest


def taken_up(name: str, usual: Any = None) -> Any:
    """What was said of an option; left unsaid, what the run that is to be taken up was asked; `usual` otherwise.

    Raises RunDirectoryError where that run cannot be read.
    """
    from analysis.runs.run_opening import stored

    context = click.get_current_context()
    said = context.params[name]
    if context.get_parameter_source(name) is not ParameterSource.DEFAULT:
        return said
    there = stored(context.params["out"]) if context.params["resume"] else None
    return (there or {}).get(KEYS.get(name, name), said if usual is None else usual)


def console() -> Any:
    """As wide as the terminal; 130 letters into a file or a pipe. Names may hold brackets, so there is no markup."""
    from rich.console import Console

    known = sys.stdout.isatty() or "COLUMNS" in os.environ
    return Console(width=None if known else 130, markup=False, emoji=False, highlight=False)
