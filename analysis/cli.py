"""The command line: thin, and quick to start, for everything heavy is imported by the command that needs it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

A_PATH = click.Path(path_type=Path, readable=False)  # whatever is wrong with it, our own messages say
SCENARIO = click.argument("file", type=A_PATH, metavar="FILE")
ALTERNATIVE = click.option("--alternative", metavar="NAME", help="One of the scenario's named alternatives.")


STOPPED = 130  # exit code of a run that Ctrl-C ended early, as shells have it


class Refusal(click.ClickException):
    """Bad input: the message is printed as it stands, and the exit code is 2."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        """Every line to standard error."""
        click.echo(self.message, err=True, file=file)


class StoppedAtOnce(Refusal):
    """Ctrl-C came before there was anything to show."""

    exit_code = STOPPED


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="padtempo")
def main() -> None:
    """Dates with honest confidence for a well pad after the drilling rig has gone."""


@main.command(short_help="Validate a scenario and show its arithmetic and defaults.")
@SCENARIO
@ALTERNATIVE
def check(file: Path, alternative: str | None) -> None:
    """Validate a scenario; print its own arithmetic, warnings, the defaults it uses and the cautions."""
    from analysis.checkup import show_check

    show_check(_load(file, alternative), _console())


@main.command(short_help="Run a scenario many times: dates with their chances.")
@SCENARIO
@ALTERNATIVE
@click.option(
    "--replications",
    type=click.IntRange(1, 10_000_000),
    default=300,
    show_default=True,
    metavar="N",
    help="How many times to play the plan.",
)
@click.option(
    "--seed", type=click.IntRange(0), default=0, show_default=True, metavar="N", help="Same seed, same numbers."
)
@click.option(
    "--workers",
    type=click.IntRange(1, 1024),
    default=os.cpu_count() or 1,
    show_default="all cores",
    metavar="N",
    help="How many processes to play it in; the numbers do not depend on it.",
)
@click.option("--out", type=A_PATH, metavar="DIR", help="Keep tables, summary and pictures there.")
@click.option("--overwrite", is_flag=True, help="Replace an earlier run in DIR.")
def forecast(
    file: Path, alternative: str | None, replications: int, seed: int, workers: int, out: Path | None, overwrite: bool
) -> None:
    """Run a scenario many times: dates with their chances for the pad and every well, and what the units wait for."""
    from analysis.forecast_run import Order, carry_out

    order = Order(file, alternative, replications, seed, workers, out, overwrite)
    if not _refusing(lambda: carry_out(order, _console())):
        raise SystemExit(STOPPED)


@main.command(short_help="Show the arithmetic of one stage.")
@SCENARIO
@ALTERNATIVE
@click.option("--well", required=True, metavar="NAME", help="Which well.")
@click.option("--stage", required=True, type=click.IntRange(1), metavar="NUMBER", help="Which stage, 1 at the toe.")
def explain(file: Path, alternative: str | None, well: str, stage: int) -> None:
    """Print the arithmetic of one stage, from its depth to its hours, for checking on paper."""
    from analysis.explanation import NoSuchStageError, show_explanation

    scenario = _load(file, alternative)
    try:
        show_explanation(scenario, well, stage, _console())
    except NoSuchStageError as error:
        raise Refusal(f"{file}: {error}") from error


@main.command(short_help="Write the JSON Schema of scenario files.")
@click.option("--out", type=A_PATH, metavar="FILE", help="Write there instead of printing.")
def schema(out: Path | None) -> None:
    """Write the JSON Schema of scenario files, for editors that complete and check as you type."""
    import json

    from sim.scenario import json_schema

    text = json.dumps(json_schema(), indent=2) + "\n"
    if out is None:
        click.echo(text, nl=False)
    else:
        _write_new(out, text)


@main.command(short_help="Write an annotated starter scenario.")
@click.argument("directory", type=A_PATH, metavar="DIR")
def example(directory: Path) -> None:
    """Write an annotated starter scenario to DIR/pad.yaml, to be changed into your own."""
    from analysis.examples import starter

    path = directory / "pad.yaml"
    _write_new(path, starter())
    click.echo(f"Next: padtempo check {path}")


def _load(file: Path, alternative: str | None) -> Any:
    from sim.scenario import load

    return _refusing(lambda: load(file, alternative))


def _refusing(work: Callable[[], Any]) -> Any:
    """Do the work; whatever a user can put right ends as a plain message."""
    from analysis.forecast import NothingPlayedError
    from analysis.run_directory import RunDirectoryError
    from sim.pad import StuckError
    from sim.replications import WorkerLostError
    from sim.scenario import ScenarioError

    try:
        return work()
    except NothingPlayedError as error:
        raise StoppedAtOnce(str(error)) from error
    except (ScenarioError, RunDirectoryError, StuckError, WorkerLostError) as error:
        raise Refusal(str(error)) from error


def _write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet."""
    try:
        _make_folder(path.parent)
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise Refusal(f"{path}: exists already; choose another place") from error
    except OSError as error:
        raise Refusal(f"{path}: cannot be written: {error.strerror}") from error
    click.echo(f"Wrote {path}")


def _make_folder(path: Path) -> None:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError as error:
        raise Refusal(f"{path}: is not a directory; choose another place") from error


def _console() -> Any:
    """As wide as the terminal; 130 letters into a file or a pipe. Names may hold brackets, so there is no markup."""
    from rich.console import Console

    known = sys.stdout.isatty() or "COLUMNS" in os.environ
    return Console(width=None if known else 130, markup=False, emoji=False, highlight=False)


if __name__ == "__main__":
    main()
