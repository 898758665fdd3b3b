"""A small valid scenario file, ways to change it, and what the door says to the result."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import ScenarioError, load
from sim.scenario.consistency import inconsistencies

PAD = """\
title: Four wells at Heron Bend
start: 2027-03-01 06:00
horizon: 240 day
well_defaults:
  measured_depth: 20500 ft
  lateral_length: 10000 ft
  stages: 50
  toe: wet shoe
  stage_design: {fluid: 9500 bbl, proppant: 440 klb, rate: 90 bbl/min}
wells:
  - {name: Heron 1, rig_release: 2027-02-10}
  - {name: Heron 2, rig_release: 2027-02-18, injection_test: {volume: 20 bbl}}
  - {name: Heron 3, rig_release: 2027-02-26, stage_length: 250 ft, toe: {time: 5 h}}
  - {name: Heron 4, stage_design: {pump_time: {lognormal: {P10: 90 min, P90: 210 min}}}}
units:
  preparation_crews: {count: 1, hours: day shift}
  pumping_fleets:
    - {name: Fleet A, arrives: 2027-03-08, rig_up: 48 h, rate_limit: 120 bbl/min}
  wireline_units: {count: 2, run_in: 250 ft/min}
  milling_rigs:
    - {kind: coiled tubing, per_plug: {pert: [5 min, 9 min, 25 min]}}
  flowback_spreads: {count: 2, duration: {triangular: [4 day, 6 day, 12 day]}}
water:
  start_rule: full stage on hand
  sources:
    - {name: River intake, rate: 55 kbbl/day}
    - {name: Produced water line, rate: 15 kbbl/day}
  transfer: {limit: 70 kbbl/day, lay: 36 h}
  storage: {capacity: 60 kbbl, erect: 24 h, fill_to: 50 kbbl}
strategy:
  wells_in_rotation: 2
  order: [Heron 2, Heron 1, Heron 3, Heron 4]
alternatives:
  sequential: {strategy.wells_in_rotation: 1}
  simultaneous:
    strategy.wells_in_rotation: 4
    strategy.pumped_together: 2
    units.pumping_fleets.Fleet A.rate_limit: 180 bbl/min
  bigger tank: {water.storage.capacity: 100 kbbl, water.sources.River intake.rate: 60 kbbl/day}
  fewer stages: {well_defaults.stages: 40, wells.Heron 3.stages: 38, units.wireline_units.count: 3}
"""


BASE = PAD[: PAD.index("alternatives:")]

Changes = list[tuple[str, str]]


def changed(*changes: tuple[str, str], text: str = PAD) -> str:
    """The file with each first piece of text, which must stand in it once, replaced by the second."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


def said(folder: Path, text: str | bytes, alternative: str | None = None) -> list[str]:
    """Every line that the door says to a file called pad.yaml with this text."""
    file = folder / "pad.yaml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(ScenarioError) as refused:
        load(file, alternative)
    return [line.removeprefix(f"{folder}/") for line in str(refused.value).splitlines()]


def accepted(folder: Path, changes: Changes) -> bool:
    """Whether the door has nothing against the file so changed, without its alternatives."""
    file = folder / "pad.yaml"
    file.write_text(changed(*changes, text=BASE))
    return inconsistencies(load(file)) == []


IN_THE_FIELD = """\
  stormy: {weather.spells.march.bad: 30 h, trouble_factor: 2, troubles: {misrun: {lost: 2 h}, stuck bit: {}}}
trouble_factor: 1.5
troubles:
  screen-out: {}
  misrun: {every: 40 h}
  pump failure: {repair: {gamma: {mean: 5 h, cv: 0.5}}}
  power cut: {strikes: flow back, chance: 3 %, lost: {uniform: [2 h, 6 h]}, then: give up the rest}
weather:
  spells: {march: {good: 110 h, bad: 9 h}, other_months: {good: 200 h, bad: 6 h}}
  stops: {crane: bad weather, wireline: bad weather}
shifts: {crew_change: 20 min, first_at: 06:30, every: 8 h}
facility: {limit: 3 kbbl/day}
"""
BY_THE_FOOT = "{fluid_per_length: 40 bbl/ft, pad: 500 bbl, proppant_per_length: 2200 lb/ft, rate: 90 bbl/min}"
FULL = (
    changed(
        (
            "  stage_design: {fluid: 9500 bbl, proppant: 440 klb, rate: 90 bbl/min}\n",
            f"  stage_design: {BY_THE_FOOT}\n"
            "  casing_inside_diameter: 121 mm\n"
            "  pressure: {true_vertical_depth: 10000 ft, margin: 5 %, test_pressure: 9900 psi}\n"
            "  production: {peak: 1100 bbl/day, decline: 10 %}\n",
        ),
        ("stage_length: 250 ft,", "stage_length: 250 ft, pressure: {stack_rating: 15000 psi},"),
        (
            "  preparation_crews: {count: 1, hours: day shift}\n",
            "  frac_stacks: 4\n"
            "  preparation_crews:\n"
            "    - {name: Stackers, does: [nipple up, pressure test]}\n"
            "    - {name: Testers, does: [toe preparation, injection test]}\n",
        ),
        (
            "rate_limit: 120 bbl/min}",
            "rate_limit: 120 bbl/min, pumps: 24, spare_pumps: 3, pump_power: 1 MW, learning: {doubling: 95 %}}",
        ),
        ("{count: 2, run_in: 250 ft/min}", "{count: 2, run_in: 250 ft/min, learning: {done_before: 40}}"),
        ("kind: coiled tubing,", "kind: coiled tubing, reach: 3300 m, sweep_every: 8, sweep: 90 min,"),
        ("duration: {triangular: [4 day, 6 day, 12 day]}", "choke_steps: [1 day, {pert: [1 day, 2 day, 4 day]}]"),
        ("  wells_in_rotation: 2\n", "  wells_in_rotation: 2\n  keep_clear_distance: 100 ft\n  well_spacing: 30 ft\n"),
    )
    + IN_THE_FIELD
)
