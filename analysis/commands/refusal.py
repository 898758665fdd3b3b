"""How a command ends that cannot do what was asked: a plain message and an exit code, never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

STOPPED = 130  # exit code of a run that Ctrl-C ended early, as shells have it

T = TypeVar("T")


class Refusal(click.ClickException):
    """Bad input: the message is printed as it stands, and the exit code is 2."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        """Every line to standard error."""
        click.echo(self.message, err=True, file=file)


class StoppedAtOnce(Refusal):
    """Ctrl-C came before there was anything to show."""

    exit_code = STOPPED


def refusing(work: Callable[[], T]) -> T:
    """Do the work; whatever a user can put right ends as a plain message."""
    from analysis.asked import NotUnderstoodError
    from analysis.goals import NoSuchMilestoneError
    from analysis.relaxing.relaxed_plans import BadRelaxationError
    from analysis.runs.run_directory import RunDirectoryError
    from analysis.runs.stopping import NothingPlayedError
    from analysis.studies.chosen_milestone import UnknownMilestoneError
    from analysis.studies.drivers import BeyondHorizonError
    from sim.cluster import ClusterError
    from sim.pad import StuckError
    from sim.pool import WorkerLostError
    from sim.scenario import ScenarioError

    of_the_plan = (ScenarioError, StuckError, BeyondHorizonError)
    of_what_was_asked = (NotUnderstoodError, UnknownMilestoneError, NoSuchMilestoneError, BadRelaxationError)
    try:
        return work()
    except NothingPlayedError as error:
        raise StoppedAtOnce(str(error)) from error
    except (*of_the_plan, *of_what_was_asked, RunDirectoryError, WorkerLostError, ClusterError) as error:
        raise Refusal(str(error)) from error


def load_scenario(file: Path, alternative: str | None, patch: Path | None = None) -> Any:
    """The scenario in a file, with a patch file laid over it, patched by one of its alternatives."""
    from sim.scenario import load

    return refusing(lambda: load(file, alternative, patch))


def write_new(path: Path, text: str) -> None:
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
