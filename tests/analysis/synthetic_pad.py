"""A plausible pad, written straight into log rows: something to draw, not a model."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pandas as pd

from sim.log import Interval, Level

START = datetime(2027, 3, 1, 6)
CAPACITY_BBL = 60_000.0
NIGHT_H = 9.0
INFLOW_BBL_PER_H, STAGE_BBL = 2_900.0, 9_000.0


class Ledger:
    """Appends rows and knows when each unit and well is free."""

    def __init__(self) -> None:
        self.rows: list[Interval] = []
        self.unit_free: dict[str, float] = {}
        self.well_free: dict[str, float] = {}

    def arrive(self, unit: str, at_h: float, rig_up_h: float) -> None:
        self.rows.append(Interval(0.0, at_h, unit, "arrive", "", 0, "wait", "arrival", -1))
        self.unit_free[unit] = at_h
        self.work(unit, "rig up", "", 0, rig_up_h)

    def wait(self, unit: str, until_h: float, cause: str, well: str = "") -> None:
        if until_h > self.unit_free[unit]:
            self.rows.append(Interval(self.unit_free[unit], until_h, unit, "stand by", well, 0, "wait", cause, -1))
            self.unit_free[unit] = until_h

    def work(self, unit: str, activity: str, well: str, stage: int, hours: float, trouble: str = "") -> float:
        begin_h = self.unit_free[unit]
        kind = "trouble" if trouble else "work"
        self.rows.append(Interval(begin_h, begin_h + hours, unit, activity, well, stage, kind, trouble, -1))
        self.unit_free[unit] = begin_h + hours
        if well:
            self.well_free[well] = begin_h + hours
        return begin_h + hours


def well_names(count: int) -> list[str]:
    return [f"Heron {number}" for number in range(1, count + 1)]


def prepare(ledger: Ledger, wells: list[str]) -> None:
    crew = "Preparation crew 1"
    ledger.arrive(crew, 12.0, 6.0)
    for number, well in enumerate(wells):
        release_h = 20.0 * number
        ledger.rows.append(Interval(0.0, release_h, "", "rig release", well, 0, "work", "", -1))
        ledger.wait(crew, release_h, "rig release", well)
        for activity, hours in (("nipple up", 8.0), ("pressure test", 4.0), ("toe preparation", 7.0)):
            ledger.work(crew, activity, well, 0, hours)
            ledger.wait(crew, ledger.unit_free[crew] + NIGHT_H, "outside hours")
        if number % 3 == 1:
            tested_h = ledger.work(crew, "injection test", well, 0, 5.0)
            ledger.rows.append(Interval(tested_h, tested_h + 96.0, "", "watch pressure", well, 0, "work", "", -1))
            ledger.well_free[well] = tested_h + 96.0


def fracture(ledger: Ledger, wells: list[str], stages: int, rng: np.random.Generator) -> pd.DataFrame:
    """Zipper of two with a tank that runs short; returns the level rows."""
    ready_h = max(ledger.unit_free.values())
    fleet, lines = "Fleet A", ["Wireline 1", "Wireline 2"]
    ledger.arrive("Water crew 1", ready_h - 90.0, 6.0)
    for activity, hours in (("lay water line", 36.0), ("erect storage", 24.0), ("fill storage", 14.0)):
        ledger.work("Water crew 1", activity, "", 0, hours)
    ledger.arrive(fleet, ready_h - 30.0, 48.0)
    for line in lines[: len(wells)]:
        ledger.arrive(line, ready_h - 8.0, 10.0)
    tank = Tank(ready_h - 10.0, 40_000.0)
    for first in range(0, len(wells), 2):
        if first:
            ledger.work(fleet, "move between groups", "", 0, 14.0)
        for stage in range(1, stages + 1):
            for line, well in zip(lines, wells[first : first + 2], strict=False):
                pump_one(ledger, fleet, line, well, stage, tank, rng)
    for unit in [fleet, *lines[: len(wells)]]:
        ledger.work(unit, "rig down", "", 0, 18.0)
    return tank.table()


def pump_one(
    ledger: Ledger, fleet: str, line: str, well: str, stage: int, tank: Tank, rng: np.random.Generator
) -> None:
    ledger.wait(line, ledger.well_free.get(well, 0.0), "pumping", well)
    if rng.random() < 0.03:
        ledger.work(line, "plug and perforate", well, stage, 3.0, "misrun")
    perforated_h = ledger.work(line, "plug and perforate", well, stage, float(rng.uniform(3.0, 4.4)))
    ledger.work(fleet, "swap", well, stage, 0.5)
    ledger.wait(fleet, perforated_h, "wireline", well)
    ledger.wait(fleet, tank.enough_at(ledger.unit_free[fleet]), "water", well)
    if rng.random() < 0.02:
        ledger.work(fleet, "pump stage", well, stage, float(rng.uniform(4.0, 30.0)), "screen-out")
    hours = float(rng.uniform(1.8, 2.6))
    tank.draw(ledger.unit_free[fleet], hours)
    ledger.work(fleet, "pump stage", well, stage, hours)


class Tank:
    """Level rows with an inflow that fails for a while every week."""

    def __init__(self, from_h: float, level: float) -> None:
        self.rows: list[Level] = []
        self.now_h, self.level, self.from_h = from_h, level, from_h

    def inflow(self, at_h: float) -> float:
        return 0.3 * INFLOW_BBL_PER_H if (at_h - self.from_h) % 168.0 > 140.0 else INFLOW_BBL_PER_H

    def advance(self, to_h: float, outflow: float) -> None:
        while self.now_h < to_h - 1e-9:
            inflow = self.inflow(self.now_h)
            turned_away = max(inflow - outflow, 0.0) if self.level >= CAPACITY_BBL - 1e-6 else 0.0
            net = inflow - outflow - turned_away
            step = min(to_h - self.now_h, 7.0)
            if net > 0:
                step = min(step, max((CAPACITY_BBL - self.level) / net, 1e-3))
            self.rows.append(Level(self.now_h, "water", self.level, inflow, outflow, turned_away))
            self.level = min(max(self.level + net * step, 0.0), CAPACITY_BBL)
            self.now_h += step

    def enough_at(self, from_h: float) -> float:
        self.advance(from_h, 0.0)
        while self.level < STAGE_BBL:
            self.advance(self.now_h + 0.5, 0.0)
        return max(self.now_h, from_h)

    def draw(self, from_h: float, hours: float) -> None:
        self.advance(from_h, 0.0)
        self.advance(from_h + hours, STAGE_BBL / hours)

    def table(self) -> pd.DataFrame:
        return pd.DataFrame(self.rows, columns=list(Level._fields))


def finish(ledger: Ledger, wells: list[str], rng: np.random.Generator) -> None:
    rig, spread = "Milling rig 1", "Flowback spread 1"
    pumped_h = dict(ledger.well_free)
    ledger.arrive(rig, min(pumped_h.values()) + 30.0, 12.0)
    ledger.arrive(spread, min(pumped_h.values()) + 80.0, 10.0)
    for well in wells:
        ledger.wait(rig, pumped_h[well], "pumping", well)
        for activity, hours in (("trip in", 9.0), ("mill plugs", 34.0), ("trip out", 8.0)):
            ledger.work(rig, activity, well, 0, hours * float(rng.uniform(0.9, 1.3)))
        ledger.wait(spread, ledger.well_free[well], "drill-out", well)
        ledger.work(spread, "flow back", well, 0, float(rng.uniform(60.0, 110.0)))
        ledger.work(spread, "turn in line", well, 0, 6.0)
    ledger.work(rig, "rig down", "", 0, 12.0)
    ledger.work(spread, "rig down", "", 0, 12.0)


def pad(
    wells: int = 6, stages: int = 50, seed: int = 7, horizon_h: float = np.inf
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Interval rows and level rows of one replication, cut off at the horizon."""
    rng, ledger, names = np.random.default_rng(seed), Ledger(), well_names(wells)
    prepare(ledger, names)
    ledger.work("Preparation crew 1", "rig down", "", 0, 4.0)
    levels = fracture(ledger, names, stages, rng)
    finish(ledger, names, rng)
    rows = pd.DataFrame(ledger.rows, columns=list(Interval._fields))
    rows = rows[rows["start_h"] < horizon_h]
    return rows.assign(end_h=rows["end_h"].clip(upper=horizon_h)), levels[levels["time_h"] < horizon_h]


def dates(count: int, seed: int = 3) -> dict[str, np.ndarray]:
    """Hours of two milestones in so many replications."""
    rng = np.random.default_rng(seed)
    first_h = 24.0 * (33.0 + rng.gamma(6.0, 1.2, count))
    return {
        "first production": first_h,
        "all wells on production": first_h + 24.0 * (26.0 + rng.gamma(5.0, 2.0, count)),
    }
