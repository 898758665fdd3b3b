"""How often an 80 % interval of an update holds what then happens, over invented jobs whose true figures are hidden.

Each job has figures of its own near those of the plan, is played once, and written down with slips up to a random
moment; from that sheet the date of the last well is forecast anew. Run: python -m tests.benchmarks.coverage [JOBS]
"""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import numpy as np

from analysis.field.calibration import calibrate
from analysis.field.fieldlog_run import with_truth
from analysis.field.hidden_truth import truth_of
from analysis.field.reading import FieldLog, read_log, up_to
from analysis.field.synthetic import invented_log
from analysis.measures import measure
from analysis.statistics import share_interval
from analysis.updating.drawn_pace import plans_at_pace
from analysis.updating.field_standing import standing_by
from sim.pad import simulate
from sim.scenario import load, read
from sim.scenario.scenario import Scenario

JOBS, PLAYED = 200, 40
FORECAST = 7  # seed of the forecasts; those of the jobs are their numbers

PAD = """\
title: Plover Bend (invented demo data)
start: 2027-03-01 06:00
horizon: 150 day
well_defaults:
  measured_depth: 16000 ft
  lateral_length: 6000 ft
  stages: 10
  stage_design: {fluid: 9000 bbl, proppant: 400 klb}
wells:
  - {name: Plover 1}
  - {name: Plover 2, rig_release: 2027-03-02, injection_test: {volume: 20 bbl, rate: 4 bbl/min}}
  - {name: Plover 3, rig_release: 2027-03-09}
units:
  preparation_crews: {hours: day shift}
  pumping_fleets: {name: Fleet A, arrives: 2027-03-08}
  wireline_units: {}
  milling_rigs: {}
  flowback_spreads: {count: 2, duration: {triangular: [4 day, 6 day, 12 day]}}
water:
  sources: [{name: River, rate: 60 kbbl/day}]
  storage: {capacity: 40 kbbl}
strategy: {wells_in_rotation: 2}
troubles: {screen-out: {}, misrun: {}, stuck tools: {}, failed pressure test: {}, stuck bit: {}, sand and debris: {}}
weather: {spells: {other_months: {good: 120 h, bad: 9 h}}, stops: {crane: bad weather, wireline: bad weather}}
"""


class Outcome(NamedTuple):
    """Share of the job that was done, and where in the forecast the true date fell: the replications before it."""

    share_done: float
    place: float


def main(jobs: int) -> None:
    with TemporaryDirectory() as folder, ProcessPoolExecutor(os.cpu_count()) as pool:
        pad = Path(folder) / "pad.yaml"
        pad.write_text(PAD, encoding="utf-8")
        found = list(pool.map(partial(outcome, pad), range(jobs), chunksize=5))
    print(_held([each.place for each in found]))
    for early, late in ((0.0, 1 / 3), (1 / 3, 2 / 3), (2 / 3, 1.0)):
        some = [each.place for each in found if early <= each.share_done < late]
        print(f"  {early:.0%} to {late:.0%} of the job done: {_held(some)}")


def _held(places: list[float]) -> str:
    n = len(places)
    within = share_interval(sum(0.1 <= place <= 0.9 for place in places), n, 0.95)
    by = [f"P{100 * chance:.0f} {sum(place <= chance for place in places) / n:.0%}" for chance in (0.1, 0.5, 0.9)]
    return f"{within.share:.0%} [{within.low:.0%}, {within.high:.0%}] of {n} from P10 to P90; done by {', '.join(by)}"


def outcome(pad: Path, job: int) -> Outcome:
    """One invented job, forecast from a random moment."""
    plan, document = load(pad), read(pad)
    true_plan = with_truth(document, truth_of(plan, document, job))
    end_h = _last_h(true_plan, job)
    share = float(np.random.default_rng(job).uniform(0.02, 0.98))
    at_h = round(share * end_h)
    log = _log(pad, true_plan, plan, job, at_h)
    since = standing_by(log, plan, at_h, {})
    paced = plans_at_pace(calibrate(log, plan, document), document, plan, PLAYED, FORECAST) or (plan,) * PLAYED
    hours = [measure(simulate(each, k, FORECAST, since)).pad.all_on_production_h for k, each in enumerate(paced)]
    return Outcome(share, float(np.mean(np.array(hours) < end_h)))


def _last_h(plan: Scenario, job: int) -> float:
    return measure(simulate(plan, 0, job)).pad.all_on_production_h


def _log(pad: Path, true_plan: Scenario, plan: Scenario, job: int, at_h: float) -> FieldLog:
    file = pad.with_name(f"{job}.csv")
    file.write_text(invented_log(true_plan, job, plan.moment_at(at_h)).csv(), encoding="utf-8")
    return up_to(read_log(file, plan, may_be_empty=True), at_h)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else JOBS)
