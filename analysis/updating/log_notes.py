"""What a reader of an update must know of its log: what was not used, what was taken for done, what no log tells."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from analysis.field.reading import FieldLog
from analysis.updating.implied import Implied
from analysis.updating.levels import holders
from sim import activities
from sim.scenario.scenario import Scenario
from sim.standing import Standing

STALE_H = 2.0  # a log that ends so long before the moment of the update has rows missing
LISTED = 6


def notes(log: FieldLog, known: FieldLog, implied: Implied, plan: Scenario, since: Standing) -> list[str]:
    """Sentences about what is not in the log or was not used of it, the weightiest first.

    `known` is the log as it was known at the moment of the standing, and `implied` what was filled in.
    """
    found = (_missing_end(known, since), _undone(known, since), _implied(implied), _released(plan, since))
    return [*(text for each in found for text in each), *_later(log, since)]


def _missing_end(log: FieldLog, since: Standing) -> Iterator[str]:
    if log.rows.empty:
        if since.as_of_h > 0:
            yield "nothing is logged up to then, so the plan is played as if nothing had happened yet"
        return
    silent_h = since.as_of_h - float(log.rows[["start_h", "end_h"]].max().max())
    if silent_h > STALE_H and any(not job.is_done for job in since.jobs):
        yield f"the log ends {silent_h:.0f} h before then; what has no end in it is taken to go on up to then"
    elif silent_h > STALE_H and not log.rows["end_h"].isna().any():
        yield f"the log ends {silent_h:.0f} h before then; units are taken to have stood by since"


def _undone(log: FieldLog, since: Standing) -> Iterator[str]:
    """Jobs whose only rows were left out: they are played once more unless later work says that they are done."""
    seen = {(job.unit, job.activity, job.well, job.stage) for job in since.jobs}
    pumped = stages_pumped(since)
    lost = [
        _called(activity, well, stage)
        for _, activity, well, stage in sorted(log.doubtful.keys() - seen)
        if activity in activities.WAITING_FOR and (not stage or stage > pumped.get(well, 0))
    ]
    if lost:
        yield f"of {_some(lost)} all rows were left out; unless later work shows them done, they are still to come here"


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - LISTED} more" if len(names) > LISTED else ""
    return ", ".join(names[:LISTED]) + more


def stages_pumped(since: Standing) -> dict[str, int]:
    """By well, the last stage that is pumped."""
    found: dict[str, int] = {}
    for job in since.done(activities.PUMP_STAGE):
        found[job.well] = max(job.stage, found.get(job.well, 0))
    return found


def _implied(implied: Implied) -> Iterator[str]:
    """What was filled in."""
    if implied.jobs:
        jobs = _some([_called(*job) for job in implied.jobs])
        yield f"no row says that {jobs} {_is(implied.jobs)} done; taken as done, for later work shows it"
    if implied.closed:
        jobs = _some([_called(*job) for job in implied.closed])
        yield f"{jobs} {_has(implied.closed)} no end although the well has gone further; taken as over when it did"


def _is(jobs: Sequence[object]) -> str:
    return "is" if len(jobs) == 1 else "are"


def _has(jobs: Sequence[object]) -> str:
    return "has" if len(jobs) == 1 else "have"


def _called(activity: str, well: str, stage: int) -> str:
    return f"{activity}{f' {stage}' if stage else ''}{f' of {well}' if well else ''}"


def _released(plan: Scenario, since: Standing) -> Iterator[str]:
    """Wells that the plan has released by now, and of which the log says nothing."""
    late = [
        well.name
        for well in plan.wells
        if well.rig_release is not None
        and 0 < plan.hours_at(well.rig_release) <= since.as_of_h
        and not since.of_well.get(well.name)
    ]
    if late:
        yield f"no row tells of {_some(late)}, which the plan has released by then; taken as released"


def _later(log: FieldLog, since: Standing) -> Iterator[str]:
    later = int((log.rows["start_h"] >= since.as_of_h).sum())
    if later:
        yield f"{later:,} row{'s' * (later > 1)} of the log begin after that time and are not used"


def not_told(plan: Scenario, told: Collection[str]) -> list[str]:
    """What no log tells of a pad of this plan, each with what is assumed instead; `told` are levels that are known."""
    said = []
    storages = {activities.WATER: "the water storage", activities.PROPPANT: "the proppant storage"}
    unknown = [storages.get(name, name) for name in holders(plan) if name not in told]
    if unknown:
        said.append(f"how full {_some(unknown)} is (storages full once work draws on them; state it with --level)")
    if plan.water is not None and any(source.daily_limit is not None for source in plan.water.sources):
        said.append("how much of today's permit is used (none)")
    if plan.proppant is not None and plan.proppant.trucks is not None:
        said.append("where trucks are (empty, at the loaders)")
    if plan.pump_failure is not None:
        said.append("which pumps are down (none)")
    if plan.weather is not None:
        said.append("the weather to come (as the plan has it)")
    return said
