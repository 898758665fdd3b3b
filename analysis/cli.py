"""The command line: thin, and quick to start, for each command imports what is heavy only once it is called."""

from __future__ import annotations

import click

from analysis.commands.calibrate import calibrate
from analysis.commands.check import check
from analysis.commands.example import example
from analysis.commands.explain import explain
from analysis.commands.fieldlog import fieldlog
from analysis.commands.forecast import forecast
from analysis.commands.lookback import lookback
from analysis.commands.schema import schema


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="padtempo")
def main() -> None:
    """Dates with honest confidence for a well pad after the drilling rig has gone."""


for command in (calibrate, check, example, explain, fieldlog, forecast, lookback, schema):
    main.add_command(command)

if __name__ == "__main__":
    main()
