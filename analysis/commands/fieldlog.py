"""`padtempo fieldlog`."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from analysis.commands.options import A_PATH, ALTERNATIVE, SCENARIO, SEED, console
from analysis.commands.refusal import refusing


@click.command(short_help="Write an invented log of what happened, to practise on.")
@SCENARIO
@ALTERNATIVE
@SEED
@click.option("--out", type=A_PATH, required=True, metavar="LOG.csv", help="Where to; the truth goes beside it.")
@click.option(
    "--until",
    type=click.DateTime(["%Y-%m-%d", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"]),
    metavar="DATE",
    help="Stop there, with the work under way unfinished, such as 2027-04-10 or '2027-04-10 06:00'.",
)
@click.option("--truth", type=A_PATH, metavar="FILE", help="Patch file to play it with; if not given, one is invented.")
def fieldlog(
    file: Path, alternative: str | None, seed: int, out: Path, until: datetime | None, truth: Path | None
) -> None:
    """Play FILE once with figures that differ from the plan, and write it down as people do: rounded, with slips.

    The log is invented and says so in its remarks.
    """
    from analysis.field.fieldlog_run import FieldlogOrder, carry_out

    refusing(lambda: carry_out(FieldlogOrder(file, alternative, truth, seed, until, out), console()))
