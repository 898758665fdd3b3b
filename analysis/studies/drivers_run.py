"""The drivers command from end to end: read, check, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.progress import Progress
from analysis.runs.kept_plays import parts_of, replications_kept
from analysis.runs.point_rows import SCREENING, SHARES, SWINGS
from analysis.runs.run_directory import RunDirectory, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import Tables, opened_if, say_what_is_there
from analysis.runs.stopping import NothingPlayedError
from analysis.runs.study_files import write_csv
from analysis.studies.chosen_milestone import chosen
from analysis.studies.drivers import SOURCE, Drivers, Question, find_drivers, swings_of
from analysis.studies.drivers_answer import ranked, sentences, show
from analysis.wording import full_date
from sim.scenario import Problem, ScenarioError, load, read, stated
from sim.scenario.uncertain import uncertain_inputs
from sim.scenario.written import as_written


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    measure: str
    samples: int
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool
    resume: bool = False


def carry_out(order: Order, console: Console) -> bool:
    """Do it; half a study says nothing, so one that is stopped leaves no answer."""
    scenario = load(order.file, order.alternative)
    document = read(order.file, order.alternative)
    inputs = tuple(uncertain_inputs(document))
    if not inputs:
        said = "nothing is stated as uncertain; expected for example uncertain: "
        example = "{water.transfer.limit: {uniform: [50 kbbl/day, 90 kbbl/day]}}"
        raise ScenarioError([Problem(str(order.file), 0, SOURCE, said + example)])
    milestone = chosen(order.measure, [well.name for well in scenario.wells])
    question = Question(document, inputs, milestone, order.samples, order.replications, order.seed, order.workers)
    manifest = manifest_of("drivers", stated(document), order.seed, order.replications, _asked(order))
    tables = Tables((SWINGS,), parts_of(*swings_of(question)), beside=(SCREENING, SHARES))
    with opened_if(order.out, manifest, order.overwrite, order.resume, tables) as run:
        there = replications_kept(run, (SWINGS, SCREENING, SHARES))
        say_what_is_there(run, there, question.most_plays, "answer and picture", at_most=True)
        with Progress(question.most_plays, sys.stderr, there) as progress:
            found = _found(question, progress, run)
        show(found, console)
        if run is not None:
            _leave_files(run, found)
            write_manifest(run, manifest | {"replications_done": order.replications})
            console.print(f"\nIn {run.path}: summary.json, effects.csv, manifest.json, tables, pictures.")
    return True


def _found(question: Question, progress: Progress, run: RunDirectory | None) -> Drivers:
    try:
        return find_drivers(question, progress.advance, run)
    except KeyboardInterrupt:
        raise NothingPlayedError("stopped before there was an answer: all plays are needed for one") from None


def _asked(order: Order) -> dict[str, Any]:
    return {
        "alternative": order.alternative,
        "measure": order.measure,
        "samples": order.samples,
    }


def _leave_files(run: RunDirectory, found: Drivers) -> None:
    from analysis.studies.drivers_picture import draw  # matplotlib, which a study without files does not need

    shares = found.shares
    luck = None if shares is None else dict(zip(("share", "low", "high"), shares.luck, strict=True))
    write_summary(
        run,
        {
            "title": found.scenario.title,
            "milestone": found.milestone,
            "answer": sentences(found),
            "plays": found.plays,
            "seed": found.seed,
            "variance_hours2": None if shares is None else shares.variance,
            "luck_no_data_could_remove": luck,
            "inputs": {row[0]: dict(zip(HEADER[1:], row[1:], strict=True)) for row in _rows(found)},
        },
    )
    write_csv(run, "effects.csv", HEADER, _rows(found))
    draw(found, run.pictures)


HEADER = [
    "input",
    "low (10 % quantile)",
    "high (90 % quantile)",
    "mean date at low",
    "mean date at high",
    "change hours",
    "change hours low",
    "change hours high",
    "screening effect hours",
    "screening half width hours",
    "screening spread hours",
    "share alone",
    "share alone half width",
    "share with all",
    "share with all half width",
]


def _rows(found: Drivers) -> Iterator[list[Any]]:
    for number in ranked(found):
        swing, effects = found.swings[number], found.effects
        yield [
            found.inputs[number].path,
            *(as_written(value) for value in swing.values),
            *(full_date(found.scenario, each.mean) for each in (swing.low, swing.high)),
            *(swing.change.mean, swing.change.low, swing.change.high),
            *(float(each[number]) for each in (effects.size, effects.half_width, effects.spread)),
            *_shares(found, number),
        ]


def _shares(found: Drivers, number: int) -> list[float | None]:
    if found.shares is None or number not in found.kept:
        return [None] * 4
    shares, k = found.shares, found.kept.index(number)
    return [float(each[k]) for each in (shares.first, shares.first_half_width, shares.total, shares.total_half_width)]
