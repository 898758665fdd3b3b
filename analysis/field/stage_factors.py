"""Stages against their design: how much longer pumping and wireline runs take than the arithmetic says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.field.paths import unit_paths, well_paths
from analysis.field.quantities import FACTOR, TIME, Quantity, split, whose
from analysis.field.written_values import times
from sim import activities
from sim.chance.sampling import mean
from sim.operations.learning import faster
from sim.physics.stages import distance_from_heel_ft
from sim.physics.wireline import travel_hours
from sim.scenario.document import Document
from sim.scenario.durations import ByStage, DesignDuration
from sim.scenario.equipment import Learning, PumpingFleet, WirelineUnit
from sim.scenario.scenario import Scenario
from sim.scenario.treating import MINUTES, held_rates
from sim.scenario.wells import Well

if TYPE_CHECKING:
    import pandas as pd

LEAVES = {activities.PUMP_STAGE: "pump_time", activities.PLUG_AND_PERFORATE: "wireline_time"}


def stage_jobs(jobs: pd.DataFrame, scenario: Scenario) -> pd.DataFrame:
    """Stages pumped and perforated, with what the plan expects of each.

    Adds `design_h`, hours by the arithmetic; `expected_h`, with the plan's mean factor and what is added to it;
    `number`, which of its unit it is here, from 1; `learnt`, the factor for what the unit has learnt by then as the
    plan states it. Wells pumped together are one job, that of the slowest.
    """
    own = jobs[jobs["activity"].isin(LEAVES)]
    wells, units = {well.name: well for well in scenario.wells}, unit_paths(scenario)
    rows = list(zip(*(own[name].tolist() for name in ("activity", "well", "stage", "unit", "together")), strict=True))
    tables: dict[Any, list[float]] = {}
    design_h, expected_h = [], []
    for activity, name, stage, unit, together in rows:
        entry = units[unit][1] if unit in units else None
        key = (activity, name, id(entry), together)
        if key not in tables:
            tables[key] = _design_h(activity, wells[name], entry, together)
        design_h.append(tables[key][stage - 1])
        expected_h.append(_expected(_stated(activity, wells[name]), tables[key][stage - 1], stage))
    known = own.assign(design_h=design_h, expected_h=expected_h)
    slowest = known.sort_values("expected_h", ascending=False, kind="stable").drop_duplicates(["unit", "start_h"])
    ordered = slowest.sort_values("start_h", kind="stable")
    ordered = ordered.assign(number=ordered.groupby("unit").cumcount() + 1)
    taught = {unit: getattr(entry, "learning", None) for unit, (_, entry, _) in units.items()}
    pairs = zip(ordered["unit"], ordered["number"], strict=True)
    return ordered.assign(learnt=[faster(taught.get(unit), int(number)) for unit, number in pairs])


def _stated(activity: str, well: Well) -> Any:
    return getattr(well.stage_design, LEAVES[activity])


def _design_h(activity: str, well: Well, entry: Any, together: int) -> list[float]:
    """Hours of each stage by the arithmetic alone, from the toe; NaN where the unit is of another trade."""
    if activity == activities.PUMP_STAGE and isinstance(entry, PumpingFleet):
        rate_bpm = held_rates(well, entry, together).rate_bpm
        return [float(each) for each in np.array(well.fluid_by_stage) / (MINUTES * rate_bpm)]
    if activity == activities.PLUG_AND_PERFORATE and isinstance(entry, WirelineUnit):
        along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
        heel_ft = well.measured_depth - well.lateral_length
        travel_h = travel_hours(heel_ft, along_ft, entry.run_in, entry.pump_down, entry.pull_out)
        return [float(each) for each in travel_h + mean(entry.plug_and_perforate) + mean(entry.turnaround)]
    return [float("nan")] * well.stage_count


def _expected(stated: Any, design_h: float, stage: int) -> float:
    if isinstance(stated, DesignDuration):
        return design_h * mean(stated.from_design.factor) + mean(stated.from_design.plus)
    if isinstance(stated, ByStage):
        return mean(stated.by_stage[stage - 1])
    return mean(stated)


def factors_of(
    stages: pd.DataFrame, scenario: Scenario, document: Document, learnt: Mapping[str, Learning]
) -> Iterator[Quantity]:
    """A quantity for each way in which stage times are stated. `learnt` is the learning that the log itself shows."""
    pairs = zip(stages["unit"], stages["number"], stages["learnt"], strict=True)
    learning = [faster(learnt[u], int(n)) if u in learnt else stated for u, n, stated in pairs]
    first_unit = stages.assign(hours=stages["hours"] / learning)
    for activity, leaf in LEAVES.items():
        groups: dict[Any, list[str]] = {}
        for well in scenario.wells:
            groups.setdefault(_stated(activity, well), []).append(well.name)
        for stated, names in groups.items():
            own = first_unit[(first_unit["activity"] == activity) & first_unit["well"].isin(names)]
            paths = well_paths(document, scenario, names, f"stage_design.{leaf}")
            suffix = whose(names, len(scenario.wells))
            if isinstance(stated, DesignDuration):
                yield _factor(f"{activity}, factor on the design{suffix}", activity, paths, stated, own, scenario)
            elif not isinstance(stated, ByStage):  # stated stage by stage, there is no one value to calibrate
                yield Quantity(f"{activity}{suffix}", activity, TIME, paths, stated, *split(own))


def _factor(
    name: str, activity: str, paths: tuple[str, ...], stated: DesignDuration, own: pd.DataFrame, scenario: Scenario
) -> Quantity:
    plus_h = mean(stated.from_design.plus)
    own = own[own["design_h"].notna()]
    ratio = (own["hours"] - plus_h) / own["design_h"]
    put = {"plus": times(plus_h)} if plus_h else {}
    remark = "the slower of wells pumped together" if (own["together"] > 1).any() else ""
    return Quantity(
        name,
        activity,
        FACTOR,
        paths,
        stated.from_design.factor,
        *split(own, ratio),
        put=lambda value: {"from_design": {"factor": value, **put}},
        also=_fixed_parts(scenario) if activity == activities.PLUG_AND_PERFORATE else (),
        remark=remark,
        set_aside=int((ratio <= 0).sum()),
    )


def _fixed_parts(scenario: Scenario) -> tuple[tuple[str, Any, str], ...]:
    """Parts of a wireline run that a log does not tell apart: held at their means, for the factor has their spread."""
    found: dict[str, tuple[str, Any, str]] = {}
    for kind, entry, path in unit_paths(scenario).values():
        for key in ("plug_and_perforate", "turnaround"):
            if kind == "wireline_units" and path is not None and not isinstance(getattr(entry, key), float):
                mean_h = mean(getattr(entry, key))
                why = "held at its mean: its spread is in the factor of the wireline run"
                found[f"{path}.{key}"] = (f"{path}.{key}", times(mean_h), why)
    return tuple(found.values())
