"""Price a finished run, as it was stated or with other prices: nothing is played again."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pandas as pd
from rich.console import Console

from analysis.forecasting.forecast import TABLES, Forecast, representative
from analysis.pricing.ledger import reckon
from analysis.pricing.money_answer import money_answer
from analysis.pricing.money_exports import files_of
from analysis.pricing.money_terminal import show_ledger
from analysis.runs.made_files import refuse_if_there, write_made
from analysis.runs.run_directory import RunDirectoryError, read_manifest, read_table
from analysis.wording import tell
from sim.scenario.repricing import repriced
from sim.scenario.scenario import Scenario

NOTHING = "The scenario states neither prices nor production nor fuel; state some, or name a file with --prices."


class PriceOrder(NamedTuple):
    """What was asked for on the command line."""

    directory: Path
    prices: Path | None
    out: Path | None
    overwrite: bool


def price_run(order: PriceOrder, console: Console) -> None:
    """Print money, production and fuel of a run; write their tables if asked."""
    manifest = read_manifest(order.directory)
    if "scenario" not in manifest:
        raise RunDirectoryError(f"{order.directory}: holds a run that was never begun; play it with forecast --out")
    scenario = repriced(manifest["scenario"], order.prices)
    if order.out is not None:
        refuse_if_there(order.out, order.overwrite)
    played = played_in(order.directory, scenario, manifest["seed"], manifest["replications_asked"])
    ledger = reckon(played)
    number = "one replication" if played.replications == 1 else f"{played.replications} replications"
    tell(console, f"{scenario.title}: {number} of seed {played.seed}.")
    for sentence in money_answer(ledger) if not ledger.is_empty else [NOTHING]:
        tell(console, sentence)
    show_ledger(ledger, console, full=True)
    if order.out is not None:
        files = files_of(ledger, representative(played))
        write_made(order.out, files)
        console.print(f"\nIn {order.out}: {', '.join(files)}.")


def played_in(directory: Path, scenario: Scenario, seed: int, asked: int) -> Forecast:
    """The tables of a run, as far as it got; a chunk counts once its pads are there."""
    found = {table: read_table(directory, table) for table in TABLES}
    pads = found.pop("pads")
    if pads.empty:
        raise RunDirectoryError(f"{directory}: holds no replications yet")
    if found["amounts"].empty:
        raise RunDirectoryError(f"{directory}: holds no amounts to price; play it again with forecast --out")
    done = pads["replication"]
    kept: dict[str, pd.DataFrame] = {name: table[table["replication"].isin(done)] for name, table in found.items()}
    return Forecast(scenario, seed, asked, pads, **{name: table.reset_index(drop=True) for name, table in kept.items()})
