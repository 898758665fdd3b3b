"""The calibrate command from end to end: read, refuse what cannot work, fit, show, leave the files."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from analysis.field.calibration import calibrate
from analysis.field.calibration_answer import show
from analysis.field.patch_text import patch_text, refuse_unusable
from analysis.field.reading import read_log
from sim.scenario import load, read
from sim.scenario.problems import Problem, ScenarioError


class CalibrationOrder(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    log: Path
    columns: Path | None
    out: Path | None
    prior_weight: float
    strict: bool


def carry_out(order: CalibrationOrder, console: Console) -> None:
    """Do it. Whatever cannot work is refused before anything is written."""
    scenario = load(order.file, order.alternative)
    for path in [order.out, picture_of(order.out)] if order.out is not None else []:
        refuse_existing(path)
    log = read_log(order.log, scenario, order.columns, strict=order.strict)
    found = calibrate(log, scenario, read(order.file, order.alternative), order.prior_weight)
    if not found.figures and not found.rates:
        message = "tells of no duration and no trouble of the plan; expected rows of jobs that ended"
        raise ScenarioError([Problem(str(order.log), 0, "", message)])
    text = patch_text(found, log, scenario)
    refuse_unusable(order.file, text, order.alternative)
    show(found, log, scenario, console)
    if order.out is not None:
        from analysis.field.fit_pictures import draw_fits  # matplotlib, which the tables alone do not need

        write(order.out, text)
        picture = draw_fits(found, f"{scenario.title}: durations in the field and their fits", picture_of(order.out))
        also = f" and {picture.name}" if picture else ""
        console.print(f"\nWrote {order.out}{also}. Next: padtempo forecast {order.file} --patch {order.out}")


def picture_of(patch: Path) -> Path:
    """The picture of the fits, beside the patch."""
    return patch.with_name(f"{patch.stem}_fits.png")


def refuse_existing(out: Path) -> None:
    """Raises ScenarioError where a file is there already: nothing is overwritten."""
    if out.exists():
        raise ScenarioError([Problem(str(out), 0, "", "exists already; choose another place")])


def write(path: Path, text: str) -> None:
    """Raises ScenarioError where the file cannot be written."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise ScenarioError([Problem(str(path), 0, "", f"cannot be written: {error.strerror}")]) from error
