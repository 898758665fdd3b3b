"""`padtempo check`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import ALTERNATIVE, PATCH, SCENARIO, console
from analysis.commands.refusal import load_scenario


@click.command(short_help="Validate a scenario and show its arithmetic and defaults.")
@SCENARIO
@ALTERNATIVE
@PATCH
def check(file: Path, alternative: str | None, patch: Path | None) -> None:
    """Validate a scenario; print its own arithmetic, warnings, the defaults it uses and the cautions."""
    from analysis.checking.checkup import show_check

    show_check(load_scenario(file, alternative, patch), console())
