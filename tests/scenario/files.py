"""A small valid scenario file, ways to change it, and what the door says to the result."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import ScenarioError, load

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
