"""`padtempo schema`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH
from analysis.commands.refusal import write_new


@click.command(short_help="Write the JSON Schema of scenario files.")
@click.option("--out", type=A_PATH, metavar="FILE", help="Write there instead of printing.")
def schema(out: Path | None) -> None:
    """Write the JSON Schema of scenario files, for editors that complete and check as you type."""
    import json

    from sim.scenario import json_schema

    text = json.dumps(json_schema(), indent=2) + "\n"
    if out is None:
        click.echo(text, nl=False)
    else:
        write_new(out, text)
