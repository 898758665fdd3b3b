"""`padtempo example`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH
from analysis.commands.refusal import write_new


@click.command(short_help="Write an annotated starter scenario.")
@click.argument("directory", type=A_PATH, metavar="DIR")
def example(directory: Path) -> None:
    """Write an annotated starter scenario to DIR/pad.yaml, to be changed into your own."""
    from analysis.examples import starter

    path = directory / "pad.yaml"
    write_new(path, starter())
    click.echo(f"Next: padtempo check {path}")
