"""`padtempo price`."""

from __future__ import annotations

from pathlib import Path

import click

from analysis.commands.options import A_PATH, OVERWRITE, console
from analysis.commands.refusal import refusing


@click.command(short_help="Price a finished run, without playing it again.")
@click.argument("directory", type=A_PATH, metavar="DIR")
@click.option("--prices", type=A_PATH, metavar="FILE", help="Other prices: a file with prices, fuel or both.")
@click.option("--out", type=A_PATH, metavar="DIR", help="Write the tables there as CSV.")
@OVERWRITE
def price(directory: Path, prices: Path | None, out: Path | None, overwrite: bool) -> None:
    """Print costs, waiting, cash, value, production and fuel of the run in DIR, kept by forecast --out."""
    from analysis.pricing.pricing_run import PriceOrder, price_run

    refusing(lambda: price_run(PriceOrder(directory, prices, out, overwrite), console()))
