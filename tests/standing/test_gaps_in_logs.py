"""Logs with rows missing: a pad is played on to its end, and no stage is lost or repeated."""

from __future__ import annotations

from math import inf

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.field.reading import FieldLog, up_to
from analysis.measures import measure
from analysis.updating.field_standing import standing_by
from sim.activities import ARRIVE, PLUG_AND_PERFORATE, PUMP_STAGE
from sim.log import Log
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.standing import Standing
from tests.sim.playing import play
from tests.sim.stated_times import Stated
from tests.sim.strategies import sampled, stated_pads


def with_gaps(log: Log, at_h: float, missing: float, seed: int) -> FieldLog:
    """The log as somebody has it who has lost a share of its rows."""
    luck = np.random.default_rng(seed)
    rows = [row for row in log.intervals if row.activity != ARRIVE and luck.random() >= missing]
    columns = ("start_h", "end_h", "unit", "activity", "well", "stage", "cause")
    table = pd.DataFrame({name: [getattr(row, name) for row in rows] for name in columns})
    table = table.assign(row=np.arange(2, len(rows) + 2), remarks="").astype({"start_h": float, "end_h": float})
    return up_to(FieldLog("lost.csv", len(rows), table, ()), at_h)


def faults(on: Log, since: Standing) -> list[str]:
    """Stages that are lost or done twice from a standing on, and wells that never get on production."""
    found = [f"{well.well} is never on production" for well in measure(on).wells if well.on_production_h == inf]
    for activity in (PLUG_AND_PERFORATE, PUMP_STAGE):
        done = {(job.well, job.stage) for job in since.done(activity)}
        to_come = [(row.well, row.stage) for row in on.intervals if row.activity == activity and row.end_h > on.as_of_h]
        for well, stages in on.stages.items():
            first = 2 if activity == PLUG_AND_PERFORATE and (well, 1) not in {*done, *to_come} else 1
            order = list(dict.fromkeys(stage for name, stage in to_come if name == well))
            before = sorted(stage for name, stage in done if name == well)
            if before + order != list(range(first, stages + 1)):
                found.append(f"{well}: {activity} of {before}, then of {order}")
    return found


@pytest.mark.slow
@sampled(60)
@given(stated_pads(), st.floats(0.02, 1.0), st.sampled_from([0.03, 0.1]), st.integers(0, 99))
def test_a_log_with_gaps_is_played_on_to_the_end(stated: Stated, share: float, missing: float, seed: int) -> None:
    scenario = load_stated(stated)
    log = play(scenario)
    at_h = share * max(row.end_h for row in log.intervals)
    since = standing_by(with_gaps(log, at_h, missing, seed), scenario, at_h, {})
    assert faults(simulate(scenario, 1, 2, since), since) == []
