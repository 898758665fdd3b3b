"""The size command from end to end: read, check every candidate, play, show the answer, leave the files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.forecasting.forecast import NothingPlayedError
from analysis.progress import Progress
from analysis.runs.run_directory import RunDirectory, write_manifest, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.study_files import begin, write_csv
from analysis.studies.chosen_milestone import chosen
from analysis.studies.sizing import SOURCE, Candidate, Sized, candidates_of, size
from analysis.studies.sizing_answer import money, promise_text, sentences, show, values_text
from analysis.wording import CONVENTION, full_date
from sim.scenario import Problem, ScenarioError, load, read, stated
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


def carry_out(order: Order, console: Console) -> bool:
    """Do it; verdicts of half a study would not be as sure as they say, so one that is stopped leaves no answer."""
    scenario = load(order.file, order.alternative)
    document = read(order.file, order.alternative)
    choices = scenario.choices
    if choices is None:
        said = "nothing is stated that can be chosen; expected choices: {promise: {by: 2027-06-01}, cheapest_of: ...}"
        raise ScenarioError([Problem(str(order.file), 0, SOURCE, said)])
    milestone = chosen(choices.promise.milestone, [well.name for well in scenario.wells])
    total = len(candidates_of(choices)) * order.replications
    manifest = manifest_of("size", stated(document), order.seed, order.replications, _asked(order))
    made: list[RunDirectory | None] = []

    def prepare() -> None:
        made.append(begin(order.out, order.overwrite))
        if made[0] is not None:
            write_manifest(made[0], manifest)

    try:
        with Progress(total, sys.stderr) as progress:
            sized = size(
                document, scenario, choices, milestone, order.replications, order.seed, order.workers,
                progress.advance, prepare,
            )  # fmt: skip
    except KeyboardInterrupt:
        raise NothingPlayedError("stopped before there was an answer: all looks are needed for one") from None
    show(sized, console)
    if made[0] is not None:
        _leave_files(made[0], sized)
        write_manifest(made[0], manifest | {"plays_done": sum(len(each.hours) for each in sized.candidates)})
        console.print(f"\nIn {made[0].path}: summary.json, candidates.csv, manifest.json, pictures.")
    return True


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
