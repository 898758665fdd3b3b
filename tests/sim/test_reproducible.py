"""Same scenario, seed and replication: same log, to the bit. And whoever else is there moves nobody's luck."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import defaultdict
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sim.pad
from sim.activities import SWAP
from sim.chance.luck import expected
from sim.chance.sampling import mean
from sim.log import Log
from sim.scenario.loading import load, load_stated, read
from sim.scenario.loading import stated as as_stated
from sim.scenario.part import Part
from sim.scenario.shapes import Shape
from sim.scenario.wells import Toe
from tests.sim.playing import play
from tests.sim.stated_times import Stated
from tests.sim.strategies import sampled, stated_pads

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "scenarios" / "six_well_pad.yaml"
CLOSE_H = 1e-6  # a row's length is a difference of two hours of the pad


@sampled(40)
@given(stated_pads(), st.integers(0, 10**9), st.integers(0, 10**6))
def test_equal_seed_and_replication_give_equal_logs(stated: Stated, seed: int, replication: int) -> None:
    """Every row and level, to the bit, whatever was played in between (invariant 6)."""
    scenario = load_stated(stated)
    log = play(scenario, replication, seed)
    play(scenario, replication + 1, seed)
    assert play(load_stated(stated), replication, seed) == log
    assert (log.replication, log.seed) == (replication, seed)


def test_logs_do_not_depend_on_the_process() -> None:
    """Python hashes text anew in every process; the log of the example is the same in each."""
    digests = {digest_elsewhere(hash_seed) for hash_seed in ("0", "1")}
    assert len(digests) == 1


def digest_elsewhere(hash_seed: str) -> str:
    code = (
        "import hashlib, sim; log = sim.simulate(sim.load('scenarios/six_well_pad.yaml'), 3, seed=11);"
        "print(hashlib.sha256(repr(log).encode()).hexdigest())"
    )
    environment = os.environ | {"PYTHONHASHSEED": hash_seed}
    return subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True, check=True
    ).stdout.strip()


def test_seeds_and_replications_differ() -> None:
    """Neither is passed over: another of either is another run of luck."""
    scenario = load(EXAMPLE)
    logs = [play(scenario, replication, seed) for replication, seed in ((0, 0), (1, 0), (0, 1))]
    ends = {max(row.end_h for row in log.intervals) for log in logs}
    assert len(ends) == 3


@sampled(50)
@given(stated_pads(certain=True))
def test_certain_pads_know_no_luck(stated: Stated) -> None:
    """With all variances zero, neither seed nor replication changes anything (invariant 7)."""
    scenario = load_stated(stated)
    log = play(scenario)
    assert replace(play(scenario, replication=7, seed=99), replication=0, seed=0) == log


@sampled(50)
@given(stated_pads(calm=True))
def test_certain_durations_are_the_run_of_means(stated: Stated) -> None:
    """Every shape replaced by its mean gives the log of a run in which all luck is as expected."""
    scenario = load_stated(stated)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sim.pad, "drawn", lambda *_: expected)
        run_of_means = play(scenario)
    assert play(at_its_mean(scenario)) == run_of_means


def at_its_mean(value: Any) -> Any:
    """The scenario, or a part of it, with every shape of uncertainty replaced by its mean."""
    if isinstance(value, Shape):
        return mean(value)
    if isinstance(value, tuple):
        return tuple(map(at_its_mean, value))
    if not isinstance(value, Part):
        return value
    certain = {field: at_its_mean(getattr(value, field)) for field in type(value).model_fields}
    if isinstance(value, Toe):
        certain["time"] = at_its_mean(value.hours)
    return value.model_copy(update=certain)


WORK = {
    "another well": {"wells": [{"name": "Newcomer"}]},
    "another preparation crew": {"units.preparation_crews.count": 2},
    "another fleet": {"units.pumping_fleets.count": 2},
    "another wireline unit": {"units.wireline_units.count": 3},
    "another milling rig": {"units.milling_rigs.count": 2},
    "another flowback spread": {"units.flowback_spreads.count": 4},
    "more storage": {"water.storage.capacity": "200 kbbl"},
    "other weather": {"weather": None},
    "another order": {"strategy.order": [f"Larkspur {number}" for number in (5, 2, 6, 1, 4, 3)]},
    "sequential": {"strategy.wells_in_rotation": 1},
}


@pytest.fixture(scope="module")
def stated() -> Stated:
    """The example, without pump failures: those strike the fleet, in the order of its stages."""
    plain = as_stated(read(EXAMPLE))
    del plain["troubles"]["pump failure"]
    return plain


@pytest.mark.parametrize("change", WORK)
def test_a_change_of_the_pad_moves_no_other_wells_durations(stated: Stated, change: str) -> None:
    """The same stage of the same well takes as long, and meets the same troubles, whoever else is there."""
    before, after = (hours_of_work(play(load_stated(each), 5, seed=3)) for each in (stated, changed(stated, change)))
    swaps_aside = {job for job in before if job[1] != SWAP}
    assert swaps_aside == {job for job in after if job[0] != "Newcomer" and job[1] != SWAP}
    for job in before.keys() & after.keys():
        assert after[job] == pytest.approx(before[job], abs=CLOSE_H), job


def changed(stated: Stated, change: str) -> Stated:
    """The example with one thing changed; paths as in an alternative, a well added at the front."""
    found = deepcopy(stated)
    for path, value in WORK[change].items():
        *outer, last = path.split(".")
        section = found
        for key in outer:
            section = section[key]
        section[last] = [*value, *section["wells"]] if last == "wells" else value
    return {key: value for key, value in found.items() if value is not None}


def hours_of_work(log: Log) -> dict[tuple[str, str, int, str], float]:
    """Hours of work, and of each trouble, by well, activity and stage."""
    hours: dict[tuple[str, str, int, str], float] = defaultdict(float)
    for row in log.intervals:
        if row.well and row.kind != "wait" and row.activity != "rig release":
            hours[row.well, row.activity, row.stage, row.cause] += row.end_h - row.start_h
    return hours


def test_a_well_added_is_another_well(stated: Stated) -> None:
    """The comparison above would notice: the newcomer's stages take other times than its neighbours'."""
    hours = hours_of_work(play(load_stated(changed(stated, "another well")), 5, seed=3))
    assert hours["Newcomer", "pump stage", 9, ""] != pytest.approx(hours["Larkspur 1", "pump stage", 9, ""], abs=1e-3)
