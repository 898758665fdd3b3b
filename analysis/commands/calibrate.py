"""`padtempo calibrate`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH, ALTERNATIVE, COLUMNS, FIELD_LOG, PRIOR_WEIGHT, SCENARIO, STRICT, console
from analysis.commands.refusal import refusing


@click.command(short_help="Fit the plan's durations and trouble rates to a log of what happened.")
@SCENARIO
@FIELD_LOG
@COLUMNS
@ALTERNATIVE
@STRICT
@PRIOR_WEIGHT
@click.option("--out", type=A_PATH, metavar="FILE", help="Write a patch file there, and a picture beside it.")
def calibrate(
    file: Path,
    log: Path,
    columns: Path | None,
    alternative: str | None,
    strict: bool,
    prior_weight: float,
    out: Path | None,
) -> None:
    """Fit durations, trouble rates and learning to LOG, lay them over what FILE says as far as there is evidence."""
    from analysis.field.calibration_run import CalibrationOrder, carry_out

    order = CalibrationOrder(file, alternative, log, columns, out, prior_weight, strict)
    refusing(lambda: carry_out(order, console()))
