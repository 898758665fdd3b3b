"""`padtempo explain`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import ALTERNATIVE, PATCH, SCENARIO, console
from analysis.commands.refusal import Refusal, load_scenario


@click.command(short_help="Show the arithmetic of one stage.")
@SCENARIO
@ALTERNATIVE
@PATCH
@click.option("--well", required=True, metavar="NAME", help="Which well.")
@click.option("--stage", required=True, type=click.IntRange(1), metavar="NUMBER", help="Which stage, 1 at the toe.")
def explain(file: Path, alternative: str | None, patch: Path | None, well: str, stage: int) -> None:
    """Print the arithmetic of one stage, from its depth to its hours, for checking on paper."""
    from analysis.checking.explanation import NoSuchStageError, show_explanation

    scenario = load_scenario(file, alternative, patch)
    try:
        show_explanation(scenario, well, stage, console())
    except NoSuchStageError as error:
        raise Refusal(f"{file}: {error}") from error
