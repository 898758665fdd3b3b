"""The size command from end to end: read, check every candidate, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.progress import Progress
from analysis.runs.kept_plays import Kept, parts_of
from analysis.runs.kept_points import keeping
from analysis.runs.point_rows import POINTS
from analysis.runs.run_directory import RunDirectory, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import Tables, opened_if, say_what_is_there
from analysis.runs.stopping import NothingPlayedError
from analysis.runs.study_files import write_csv
from analysis.studies.chosen_milestone import Chosen, chosen
from analysis.studies.sizing import SOURCE, Candidate, Sized, checked, chunks_to, names_of, size
from analysis.studies.sizing_answer import money, promise_text, sentences, show, values_text
from analysis.wording import CONVENTION, full_date
from sim.scenario import Document, Problem, Scenario, ScenarioError, load, read, stated
from sim.scenario.choices import Choices
from sim.scenario.written import as_written


class Order(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool
    resume: bool = False


def carry_out(order: Order, console: Console) -> bool:
    """Do it; verdicts of half a study would not be as sure as they say, so one that is stopped leaves no answer."""
    scenario = load(order.file, order.alternative)
    document = read(order.file, order.alternative)
    choices = scenario.choices
    if choices is None:
        said = "nothing is stated that can be chosen; expected choices: {promise: {by: 2027-06-01}, cheapest_of: ...}"
        raise ScenarioError([Problem(str(order.file), 0, SOURCE, said)])
    milestone = chosen(choices.promise.milestone, [well.name for well in scenario.wells])
    names, chunks = names_of(checked(document, choices)), chunks_to(order.replications)
    manifest = manifest_of("size", stated(document), order.seed, order.replications, _asked(order))
    tables = Tables((POINTS,), parts_of(names, chunks))
    with opened_if(order.out, manifest, order.overwrite, order.resume, tables) as run:
        kept = keeping(run, POINTS, names, chunks)
        there, total = kept.count(names, chunks), order.replications * len(names)
        say_what_is_there(run, there, total, at_most=True)
        with Progress(total, sys.stderr, there) as progress:
            sized = _sized(order, document, scenario, choices, milestone, progress, kept)
        show(sized, console)
        if run is not None:
            _leave_files(run, sized)
            write_manifest(run, manifest | {"replications_done": max(len(each.hours) for each in sized.candidates)})
            console.print(f"\nIn {run.path}: summary.json, candidates.csv, manifest.json, tables, pictures.")
    return True


def _sized(
    order: Order,
    document: Document,
    scenario: Scenario,
    choices: Choices,
    milestone: Chosen,
    progress: Progress,
    kept: Kept[float],
) -> Sized:
    n, hear = order.replications, progress.advance
    try:
        return size(document, scenario, choices, milestone, n, order.seed, order.workers, hear, kept)
    except KeyboardInterrupt:
        raise NothingPlayedError("stopped before there was an answer: all looks are needed for one") from None


def _asked(order: Order) -> dict[str, Any]:
    return {"alternative": order.alternative}


def _leave_files(run: RunDirectory, sized: Sized) -> None:
    from analysis.studies.sizing_picture import draw  # matplotlib, which a study without files does not need

    keepers = sized.keepers
    write_summary(
        run,
        {
            "title": sized.scenario.title,
            "promise": promise_text(sized),
            "convention": CONVENTION,
            "answer": sentences(sized),
            "cheapest": _candidate(sized, keepers[0]) if keepers else None,
            "runner_up": _candidate(sized, keepers[1]) if len(keepers) > 1 else None,
            "looks": sized.looks,
            "seed": sized.seed,
        },
    )
    header = ["cost", "currency", *sized.choices.cheapest_of, *COLUMNS]
    write_csv(run, "candidates.csv", header, [_row(sized, each) for each in sized.candidates])
    draw(sized, run.pictures)


COLUMNS = ["replications", "kept", "share", "share low", "share high", "promised quantile hours", "date", "verdict"]


def _row(sized: Sized, each: Candidate) -> list[Any]:
    share, date = sized.share(each), sized.date(each)
    values = [as_written(value) for value in each.values.values()]
    counts = [len(each.hours), each.kept(sized.by_h), share.share, share.low, share.high]
    return [
        each.cost,
        sized.currency,
        *values,
        *counts,
        date.value,
        full_date(sized.scenario, date.value),
        each.verdict,
    ]


def _candidate(sized: Sized, each: Candidate) -> dict[str, Any]:
    share = sized.share(each)
    return {
        "cost": money(sized, each.cost),
        "values": each.values,
        "in_words": values_text(each),
        "kept": {"share": share.share, "low": share.low, "high": share.high, "confidence": share.confidence},
        "doubt": each.doubt,
    }
