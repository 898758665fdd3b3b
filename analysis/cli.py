"""The command line: thin, and quick to start, for each command imports what is heavy only once it is called."""

from __future__ import annotations

import click

from analysis.commands.calibrate import calibrate
from analysis.commands.check import check
from analysis.commands.compare import compare
from analysis.commands.drivers import drivers
from analysis.commands.example import example
from analysis.commands.explain import explain
from analysis.commands.fieldlog import fieldlog
from analysis.commands.forecast import forecast
from analysis.commands.lookback import lookback
from analysis.commands.page import page
from analysis.commands.price import price
from analysis.commands.relax import relax
from analysis.commands.report import report
from analysis.commands.schema import schema
from analysis.commands.size import size
from analysis.commands.sweep import sweep
from analysis.commands.update import update
from analysis.commands.where import where


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="padtempo")
def main() -> None:
    """Dates with honest confidence for a well pad after the drilling rig has gone."""


for command in (
    calibrate,
    check,
    compare,
    drivers,
    example,
    explain,
    fieldlog,
    forecast,
    lookback,
    page,
    price,
    relax,
    report,
    schema,
    size,
    sweep,
    update,
    where,
):
    main.add_command(command)

if __name__ == "__main__":
    main()
