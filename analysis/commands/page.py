"""`padtempo page`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH
from analysis.commands.refusal import Refusal


@click.command(short_help="Open the whole job in a browser on this machine.")
@click.argument("file", type=A_PATH, metavar="[FILE]", required=False)
@click.option("--folder", type=A_PATH, metavar="DIR", help="Where the plans are.  [default: that of FILE, or here]")
@click.option(
    "--port", type=click.IntRange(0, 65535), metavar="N", help="Where to serve it.  [default: 8642, or a free one]"
)
@click.option("--no-browser", is_flag=True, help="Only print the address.")
def page(file: Path | None, folder: Path | None, port: int | None, no_browser: bool) -> None:
    """Open plans, runs, dates and comparisons in a browser. Only this machine can reach it, and it reaches nobody."""
    from analysis.page.serving import PageError, serve

    where = folder or (file.parent if file is not None else Path())
    if file is not None and folder is not None and file.name != str(file) and file.parent.resolve() != where.resolve():
        raise Refusal(f"{file}: is not in {folder}; the page opens plans of one folder")
    try:
        serve(where, file.name if file else None, port, browser=not no_browser, tell=click.echo)
    except PageError as error:
        raise Refusal(str(error)) from error
