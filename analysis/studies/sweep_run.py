"""The sweep command from end to end: read, check every point, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from rich.console import Console

from analysis.forecasting.summary import CHANCES
from analysis.progress import Progress
from analysis.runs.kept_plays import parts_of
from analysis.runs.kept_points import keeping
from analysis.runs.point_rows import POINTS
from analysis.runs.run_directory import RunDirectory, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import GO_ON, Tables, opened_if, say_what_is_there
from analysis.runs.study_files import write_csv
from analysis.studies.chosen_milestone import chosen
from analysis.studies.knee import Knee, NoKnee
from analysis.studies.knees import P90, Found, knee_of
from analysis.studies.paths_in_plan import OPTION, Axis, axes_of
from analysis.studies.sweep import Swept, names_of, plans_at, sweep
from analysis.studies.sweep_answer import sentences, show
from analysis.wording import CONVENTION, full_date
from sim.replications import chunks_of
from sim.scenario import Problem, ScenarioError, load, read, stated


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    vary: tuple[str, ...]
    measure: str
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool
    resume: bool = False


def carry_out(order: Order, console: Console) -> bool:
    """Do it. Whatever cannot work at any point is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative)
    document = read(order.file, order.alternative)
    axes = axes_of(document, order.vary)
    if len(axes) > 2:
        raise ScenarioError([Problem(OPTION, 0, "", f"{len(axes)} paths; expected one, or two for a map")])
    milestone = chosen(order.measure, [well.name for well in scenario.wells])
    plans = plans_at(document, axes)
    names, chunks = names_of(plans), chunks_of(order.replications)
    manifest = manifest_of("sweep", stated(document), order.seed, order.replications, _asked(order))
    tables = Tables((POINTS,), parts_of(names, chunks))
    with opened_if(order.out, manifest, order.overwrite, order.resume, tables) as run:
        kept = keeping(run, POINTS, names, chunks)
        there, total = kept.count(names, chunks), order.replications * len(plans)
        say_what_is_there(run, there, total)
        with Progress(total, sys.stderr, there) as progress:
            of = (order.replications, order.seed, order.workers, progress.advance, kept)
            swept = sweep(plans, axes, milestone, *of, scenario)
        found = knee_of(swept)
        show(swept, found, console)
        interrupted = swept.replications < swept.asked
        if interrupted:
            console.print(f"Stopped: {swept.replications} of {swept.asked} replications of every point.", style="bold")
        if run is not None:
            _leave_files(run, swept, found)
            write_manifest(run, manifest | {"replications_done": swept.replications})
            console.print(f"\nIn {run.path}: summary.json, points.csv, manifest.json, tables, pictures.")
            if interrupted:
                console.print(GO_ON)
    return not interrupted


def _asked(order: Order) -> dict[str, Any]:
    return {
        "alternative": order.alternative,
        "vary": list(order.vary),
        "measure": order.measure,
    }


def _leave_files(run: RunDirectory, swept: Swept, found: Found) -> None:
    from analysis.studies.sweep_pictures import draw  # matplotlib, which a sweep without files does not need

    write_summary(run, _summary(swept, found))
    headings = [f"P{round(100 * chance)} hours{which}" for chance in CHANCES for which in ("", " low", " high")]
    header = [*(_heading(axis) for axis in swept.axes), "P90 date (90 % chance done by)", *headings, "unfinished"]
    write_csv(run, "points.csv", header, [_row(swept, row) for row in range(len(swept.points))])
    draw(swept, found, run.pictures)


def _heading(axis: Axis) -> str:
    return f"{axis.path} [{axis.unit}]" if axis.kind == "number" and axis.unit else axis.path


def _row(swept: Swept, row: int) -> list[Any]:
    values = [
        axis.numbers[place] if axis.kind == "number" else axis.text(place)
        for axis, place in zip(swept.axes, swept.points[row], strict=True)
    ]
    estimates = swept.estimates[row]
    cells = [number for each in estimates for number in (each.value, each.low, each.high)]
    return [*values, full_date(swept.scenario, estimates[P90].value), *cells, int(np.isinf(swept.hours[row]).sum())]


def _summary(swept: Swept, found: Found) -> dict[str, Any]:
    return {
        "title": swept.scenario.title,
        "milestone": swept.milestone,
        "convention": CONVENTION,
        "answer": sentences(swept, found),
        "replications": swept.replications,
        "seed": swept.seed,
        "paths": {axis.path: [axis.text(place) for place in range(len(axis.values))] for axis in swept.axes},
        **_knees(swept, found),
    }


def _knees(swept: Swept, found: Found) -> dict[str, Any]:
    """The knee of one path, or those along each of two."""
    if not isinstance(found, tuple) or isinstance(found, Knee | NoKnee):
        return {"knee": None if found is None else _knee(found, swept.axes[0])}
    return {
        "knees": {
            along.axis.path: [
                {along.other.path: along.other.text(place)} | _knee(each, along.axis)
                for place, each in enumerate(along.found)
            ]
            for along in found
        }
    }


def _knee(found: Knee | NoKnee, axis: Axis) -> dict[str, Any]:
    if isinstance(found, NoKnee):
        return {"none": found.reason}
    return found._asdict() | {"unit": axis.unit, "of": "P90"}
