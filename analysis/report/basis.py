"""What the answer rests on: defaults with their sources, warnings, cautions, and how to get the same numbers again."""

from __future__ import annotations

import shlex

from analysis.cautions import FULL
from analysis.checking.warnings import warnings_of
from analysis.report.content import Content
from analysis.report.parts import Cell, Row, Said, Section, Table
from analysis.wording import CONVENTION
from sim.scenario.defaults import defaults_used
from sim.versions import versions

READING = (
    CONVENTION,
    "P90 of a sum or a volume is 90 % chance of no more than that; those who book reserves say it the other way.",
    "Brackets and ± are 95 % confidence intervals: how far a number may be off because only so many replications were "
    "played. They do not cover what the plan itself gets wrong.",
    "Work that the horizon cuts short counts as beyond it and is never dropped.",
)


def assumptions(content: Content) -> Section:
    """Every value that nobody stated, and what the plan is warned of."""
    warnings = warnings_of(content.scenario)
    rows = tuple(
        Row((Cell(path), Cell(value), Cell(meaning), Cell(source)))
        for path, value, source, meaning in defaults_used(content.scenario)
    )
    said = "What the plan did not state was taken from this table. State a value in the scenario to replace one."
    table = Table("Defaults used", ("value of", "taken", "meaning", "source"), rows)
    parts = [Said((said,)), *((Said(tuple(f"Warning: {each}" for each in warnings), listed=True),) if warnings else ())]
    return Section("assumptions", "Assumptions", (*parts, table) if rows else (*parts, Said(("All is stated.",))))


def cautions() -> Section:
    """The usual ones, in full."""
    return Section("cautions", "Cautions", (Said(FULL, listed=True),))


def reading() -> Section:
    """How percentiles and brackets are meant."""
    return Section("reading", "How to read the numbers", (Said(READING, listed=True),))


def again(content: Content) -> Section:
    """Seed, replications, versions, and the command."""
    run = content.run
    manifest = run.manifest
    facts = {
        "command": command(content),
        "seed": str(run.forecast.seed),
        "replications": f"{run.forecast.replications} of {run.forecast.asked}",
        "played until": str(manifest.get("until", "all were done")),
        "alternative": str(manifest.get("alternative") or "the plan as stated"),
        "median replication, shown in the pictures": str(content.log.replication),
        "played for the report": f"{content.played.asked} replications of the chain, and of each plan compared",
        "scenario, SHA-256": str(manifest.get("scenario_hash", "not kept")),
        **{f"version of {name}": _version(name, str(of)) for name, of in manifest["versions"].items()},
    }
    table = Table("", ("what", "which"), tuple(Row((Cell(name), Cell(text))) for name, text in facts.items()))
    said = (
        "The same numbers come from the command below, where FILE is the scenario with this hash. The run's "
        "manifest.json keeps it under `scenario`; saved as a file of its own, that text can be played as it is.",
        f"With the report in the run's directory: {', '.join(run.files) or 'no other file'}. The workbook "
        "plan.xlsx and the calendar plan.ics, where they are named, hold the same dates.",
    )
    return Section("again", "Seed, versions, and the same numbers again", (Said(said), table))


def command(content: Content) -> str:
    """What to type; names are quoted as a shell needs it."""
    manifest = content.run.manifest
    words = ["padtempo", "forecast", "FILE", "--seed", str(content.run.forecast.seed)]
    if manifest.get("alternative") is not None:
        words += ["--alternative", str(manifest["alternative"])]
    if "until" in manifest:
        words += ["--until", str(manifest["until"]), "--at-most", str(manifest["replications_asked"])]
    else:
        words += ["--replications", str(manifest["replications_asked"])]
    return shlex.join([*words, "--out", "DIR"])


def _version(name: str, of_run: str) -> str:
    """That of the run, and where it differs that of the report."""
    now = versions().get(name, of_run)
    return of_run if now == of_run else f"{of_run}; the report was made with {now}, so what it played may differ"
