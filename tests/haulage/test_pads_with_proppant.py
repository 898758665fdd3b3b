"""Proppant on whole pads: what a stage waits for, what weather and roads do, trucks beside a rate."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from sim import activities as act
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.known_weather import HORIZON, lightning
from tests.field.records import rows_of, spans, told
from tests.pads import NOW, pad, well
from tests.theory.tolerance import STANDARD_ERRORS

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
STAGE_LB = 92_000.0  # two loads
ROUND = {"load": "30 min", "loaders": 9, "drive": "1 h", "unload": "30 min", "unload_spots": 9}


def proppant_pad(stages: int = 3, capacity: str = "1 million lb", fill_to: str = "92 klb", **more: Any) -> Scenario:
    """A well whose stages take two hours and two loads each; trucks or a rate, and whatever else, as stated."""
    stated = well("A", stages, NOW, "2 h", toe=True, fluid="1000 bbl")
    stated["stage_design"]["proppant"] = f"{STAGE_LB} lb"
    delivery = {key: more.pop(key) for key in ("trucks", "rate", "start_rule", "starts") if key in more}
    proppant = {"storage": {"capacity": capacity, "fill_to": fill_to}} | delivery
    return pad([stated], FIXED, proppant=proppant, **(HORIZON | more))


def loads_h(log: Log) -> list[float]:
    """Hours at which something begins to be unloaded."""
    rows = [row for row in log.levels if row.supply == "proppant"]
    return sorted({row.time_h for before, row in pairwise(rows) if row.inflow > before.inflow})


def sound(log: Log, scenario: Scenario) -> bool:
    assert violations(log, scenario) == []
    return True


def test_stages_at_a_plain_rate() -> None:
    """23,000 lb/h: four hours to fill, then each stage waits for what is missing of its 92,000 lb: two hours.

    Rates are steady, so that at each end of a stage 46,000 lb are there.
    """
    scenario = proppant_pad(rate="23 klb/h")
    log = simulate(scenario)
    assert sound(log, scenario)
    assert told(rows_of(log, unit="Fleet"))[:6] == [
        (0, 4, "stand by", "wait", "proppant"),
        (4, 6, "pump stage", "work", ""),
        (6, 8, "pump stage", "wait", "proppant: delivery"),
        (8, 10, "pump stage", "work", ""),
        (10, 12, "pump stage", "wait", "proppant: delivery"),
        (12, 14, "pump stage", "work", ""),
    ]
    assert spans(rows_of(log, unit="Proppant storage")) == [(0, 4)]


def test_stages_by_truck() -> None:
    """Two trucks with a round of three hours, together: two loads each at 1.5, 4.5, 7.5 h, there half an hour later."""
    scenario = proppant_pad(trucks={"count": 2} | ROUND)
    log = simulate(scenario)
    assert sound(log, scenario)
    assert loads_h(log)[:3] == [1.5, 4.5, 7.5]
    assert told(rows_of(log, unit="Fleet"))[:6] == [
        (0, 2, "stand by", "wait", "proppant"),
        (2, 4, "pump stage", "work", ""),
        (4, 5, "pump stage", "wait", "proppant: trucks"),
        (5, 7, "pump stage", "work", ""),
        (7, 8, "pump stage", "wait", "proppant: trucks"),
        (8, 10, "pump stage", "work", ""),
    ]


def test_pumping_slows_down_to_what_trucks_bring() -> None:
    """`as it comes`: of 92,000 lb at 46,000 an hour, 46,000 are there, and the next load comes at 4.5 h.

    From 2 to 3 h the first load is pumped; then nothing flows until 4.5 h, half an hour at two pounds a pound unloaded.
    """
    scenario = proppant_pad(1, fill_to="46 klb", start_rule="as it comes", trucks={"count": 1} | ROUND)
    log = simulate(scenario)
    assert sound(log, scenario)
    rows = rows_of(log, unit="Fleet", activity=act.PUMP_STAGE)
    assert rows[0].start_h == 2
    assert rows[-1].end_h == pytest.approx(5.5)
    waited = sum(row.end_h - row.start_h for row in rows if row.cause == "proppant: trucks")
    assert waited == pytest.approx(1.5)


def test_water_and_proppant_are_drawn_at_once() -> None:
    """Each stage starts when both are there, and the wait is put down to the one that came last."""
    water = {"sources": [{"name": "Pond", "rate": "250 bbl/h"}], "storage": {"capacity": "1000 bbl", "erect": NOW}}
    scenario = proppant_pad(trucks={"count": 2} | ROUND, water=water)
    log = simulate(scenario)
    assert sound(log, scenario)
    pumped = [row for row in rows_of(log, unit="Fleet") if row.kind == "work" and row.activity == act.PUMP_STAGE]
    assert spans(pumped) == [(4, 6), (8, 10), (12, 14)]
    assert {row.cause for row in rows_of(log, unit="Fleet", activity=act.PUMP_STAGE, kind="wait")} == {"water: source"}
    for supply, volume in (("water", 3000.0), ("proppant", 3 * STAGE_LB)):
        rows = [row for row in log.levels if row.supply == supply]
        drawn = sum(row.outflow * (after.time_h - row.time_h) for row, after in pairwise(rows))
        assert drawn == pytest.approx(volume)


def test_weather_stops_trucks_on_the_road() -> None:
    """Lightning over the road from 4 to 10: trucks out at 3.5 h are still half an hour away at 10, loads come at 10.5.

    What stops haulage stops nothing else: nobody waits for weather.
    """
    scenario = proppant_pad(trucks={"count": 2} | ROUND, weather=lightning((4, 10), stops=("haulage",)))
    log = simulate(scenario)
    assert sound(log, scenario)
    assert loads_h(log)[:3] == [1.5, 10.5, 13.5]
    waits = [(row.start_h, row.end_h, row.cause) for row in rows_of(log, unit="Fleet", kind="wait")]
    assert waits[:3] == [(0, 2, "proppant"), (4, 11, "proppant: weather on the road"), (13, 14, "proppant: trucks")]


@pytest.mark.parametrize("kind", ["everything", "haulage"])
def test_a_storm_lets_nothing_through(kind: str) -> None:
    """In a day of it no load comes once those that had come are unloaded."""
    scenario = proppant_pad(9, trucks={"count": 2} | ROUND, weather=lightning((5, 29), stops=(kind,)))
    assert not [at_h for at_h in loads_h(simulate(scenario)) if 5 < at_h < 29]


def test_a_road_that_closes() -> None:
    """Closed from 04:00 to 10:00 of the first day, as known beforehand: as if the weather had stopped the trucks."""
    closed = {"from": "2027-03-01 04:00", "until": "2027-03-01 10:00"}
    scenario = proppant_pad(trucks={"count": 2, "closed": closed} | ROUND)
    assert loads_h(simulate(scenario))[:3] == [1.5, 10.5, 13.5]


def test_deliveries_begin_when_they_are_stated_to() -> None:
    """From noon on; the first loads are there at 14:00, and the fleet waits for them."""
    scenario = proppant_pad(trucks={"count": 2} | ROUND, starts="2027-03-01 12:00")
    log = simulate(scenario)
    assert loads_h(log)[0] == 13.5
    assert rows_of(log, unit="Fleet", activity=act.PUMP_STAGE)[0].start_h == 14


def busy_pad(**delivery: Any) -> Scenario:
    """Two wells of 20 stages of nine loads and more proppant in storage than they take."""
    wells = [well(f"W{k}", 20, "90 min", "100 min", toe=False, fluid="1 bbl") for k in range(2)]
    for each in wells:
        each["stage_design"]["proppant"] = "414 klb"
    proppant = {"storage": {"capacity": "20 million lb", "fill_to": "414 klb"}} | delivery
    return pad(wells, {"wells_in_rotation": 2, "swap": {"time": NOW}}, proppant=proppant, horizon="60 day")


def end_h(log: Log) -> float:
    return max(row.end_h for row in log.intervals if row.activity == act.PUMP_STAGE)


@pytest.mark.slow
def test_trucks_agree_with_their_rate() -> None:
    """Twelve trucks that never queue, of a random round of 3 h, against 12 x 46,000 lb in 3 h: the last stage's mean.

    Trucks begin with a first load at 1.5 h and not at none, and unload whole loads: that is worth less than a round,
    and is taken from stage 5 to the last so that it does not count.
    """
    times = {
        "load": "30 min",
        "unload": {"uniform": ["10 min", "50 min"]},
        "drive": {"gamma": {"mean": "1 h", "cv": 0.3}},
    }
    scenario = busy_pad(trucks={"count": 12, "loaders": 12, "unload_spots": 12} | times)
    by_rate = simulate(busy_pad(rate=f"{12 * 46 / 3} klb/h"))

    def pace_h(log: Log) -> float:
        ends = sorted({row.end_h for row in log.intervals if row.activity == act.PUMP_STAGE and row.kind == "work"})
        return ends[-1] - ends[4]

    found = np.array([pace_h(simulate(scenario, number, 3)) for number in range(30)])
    error = found.std(ddof=1) / np.sqrt(found.size)
    assert error < 0.02 * pace_h(by_rate)
    assert abs(found.mean() - pace_h(by_rate)) <= STANDARD_ERRORS * error


def test_more_trucks_are_never_worse() -> None:
    """On average, under the same luck."""
    times = {"drive": {"lognormal": {"mean": "90 min", "cv": 0.4}}, "hours_of_service": {}}
    means = []
    for count in (6, 9, 14, 30):
        scenario = busy_pad(trucks={"count": count, "unload_spots": 4, "loaders": 4} | times)
        means.append(np.mean([end_h(simulate(scenario, number, 2)) for number in range(4)]))
    assert means == sorted(means, reverse=True)
    assert means[0] > 1.3 * means[-1]


def test_same_luck_same_log() -> None:
    """To the bit, with trucks too; another replication meets other luck."""
    scenario = busy_pad(trucks={"count": 9, "drive": {"lognormal": {"mean": "90 min", "cv": 0.4}}})
    assert simulate(scenario, 2, 5) == simulate(scenario, 2, 5)
    assert simulate(scenario, 2, 5).levels != simulate(scenario, 3, 5).levels
