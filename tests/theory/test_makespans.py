"""Whole pads with exact times against makespans proved elsewhere.

The cases of `deterministic_makespans.csv` were solved by CP-SAT (`opt_min`) and by hand-written round-robin
recursions, longest paths and other general schedulers (`cyclic_min`); flow-shop rows are published textbook cases.
"""

from __future__ import annotations

import csv
from itertools import permutations
from pathlib import Path

import pytest

from sim import activities
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well
from tests.theory.pumping import changes_of_well, hours, makespan_min, pumpings, work

CLOSE_MIN = 60e-9  # one billionth of an hour

Row = dict[str, str]
with (Path(__file__).parent / "data" / "deterministic_makespans.csv").open() as file:
    CASES: list[Row] = list(csv.DictReader(file))


def numbers(text: str) -> list[float]:
    return [float(number) for number in text.split("/")]


def times_of_well(text: str, number: int, stages: int) -> list[float]:
    """Minutes of each stage; written once for the pad, per well (;) or per stage (/)."""
    per_well = text.split(";")
    times = numbers(per_well[number] if len(per_well) > 1 else per_well[0])
    if len(times) == 1:
        return times * stages
    return [0.0] * (stages - len(times)) + times  # without its first run where the toe is open


def scenario_of(row: Row) -> Scenario:
    toe = row["toe_ready"] == "1"
    counts = [int(count) for count in row["stages_per_well"].split(";")]
    wells = [
        well(
            f"w{number + 1}",
            count,
            minutes(times_of_well(row["W_min"], number, count)),
            minutes(times_of_well(row["P_min"], number, count)),
            toe=toe,
        )
        for number, count in enumerate(counts)
    ]
    swap = minutes(float(row["S_min"]))
    strategy = {
        "wells_in_rotation": 1 if row["mode"] == "sequential" else len(wells),
        "pumped_together": len(row["groups"].split("|")[0].split("+")),
        "swap": {"time": swap, "when": SWAP_RULES[row["swap_rule"]]},
        "between_groups": swap,
    }
    return pad(wells, strategy, units=units(int(row["wirelines"])))


SWAP_RULES = {"anticipatory": "as soon as the fleet is free", "on_ready": "once the next well is ready"}


def last_pumped_min(log: Log) -> list[float]:
    """End of each well's last stage, wells in order of name."""
    ends: dict[str, float] = {}
    for pumping in pumpings(log):
        ends |= dict.fromkeys(pumping.wells, pumping.end_h * 60)
    return [ends[name] for name in sorted(ends)]


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["case"])
def test_round_robin_makespan_is_exact(row: Row) -> None:
    """Makespan and every well's finish equal the round-robin schedule, and nothing beats the proved optimum.

    Includes Johnson's two-machine case and its textbook kin, wells of one stage without swaps (D11-D16): S.M. Johnson,
    Naval Res. Logist. Q. 1 (1954) 61-68, from memory; Heizer & Render, from memory; MSCI 306M course notes (Feinberg);
    Stevenson, Operations Management, example 16.4; Krajewski, Operations Management, example 16.5.
    """
    log = simulate(scenario_of(row))
    assert makespan_min(log) == pytest.approx(float(row["cyclic_min"]), rel=0, abs=CLOSE_MIN)
    assert last_pumped_min(log) == pytest.approx(numbers(row["well_done_min"].replace(";", "/")), rel=0, abs=CLOSE_MIN)
    assert makespan_min(log) >= float(row["opt_min"]) - CLOSE_MIN
    assert log.cut_short == 0  # and everybody went home


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["case"])
def test_swaps_and_utilisation_are_exact(row: Row) -> None:
    """Swaps, and the shares of the makespan that the fleet pumps and the wireline units work."""
    log = simulate(scenario_of(row))
    span_min = makespan_min(log)
    assert changes_of_well(log) == int(row["swaps"])
    swaps_h = {swap.start_h for swap in work(log, activities.SWAP) + work(log, activities.MOVE)}  # to a pair: two rows
    assert len(swaps_h) == (int(row["swaps"]) if float(row["S_min"]) else 0)

    pumped_min = sum(pumping.end_h - pumping.start_h for pumping in pumpings(log)) * 60
    perforated_min = hours(work(log, activities.PLUG_AND_PERFORATE)) * 60
    assert pumped_min == pytest.approx(float(row["pump_min"]), rel=1e-12)
    assert perforated_min == pytest.approx(float(row["wireline_min"]), rel=1e-12)
    to_printed_digit = 0.5e-6 + 1e-9
    assert pumped_min / span_min == pytest.approx(float(row["fleet_util"]), rel=0, abs=to_printed_digit)
    of_units = span_min * int(row["wirelines"])
    assert perforated_min / of_units == pytest.approx(float(row["wireline_util"]), rel=0, abs=to_printed_digit)


def test_simultaneous_beats_zipper_beats_sequential() -> None:
    """Four wells of three stages, two wireline units: 1065 <= 2055 <= 2925 min (D10; CP-SAT and longest path)."""
    wells = [well(f"w{k}", 3, minutes(90), minutes(150), toe=False) for k in range(1, 5)]

    def span_min(wells_in_rotation: int, together: int) -> float:
        strategy = {
            "wells_in_rotation": wells_in_rotation,
            "pumped_together": together,
            "swap": {"time": minutes(15)},
            "between_groups": minutes(15),
        }
        return makespan_min(simulate(pad(wells, strategy, units=units(2))))

    found = [span_min(4, 2), span_min(4, 1), span_min(1, 1)]
    assert found == pytest.approx([1065, 2055, 2925], rel=0, abs=CLOSE_MIN)


FLOW_SHOPS = {
    "Johnson 1954, from memory": ([(4, 5), (4, 1), (30, 4), (6, 30), (2, 3)], 47, 77),
    "Heizer & Render, from memory": ([(5, 2), (3, 6), (8, 4), (10, 7), (7, 12)], 35, 45),
    "MSCI 306M course notes (Feinberg)": ([(4, 2), (3, 5), (5, 1), (7, 3), (8, 6)], 28, None),
    "Krajewski, example 16.5": ([(12, 22), (4, 5), (5, 3), (15, 16), (10, 8)], 65, None),
}


@pytest.mark.parametrize("source", FLOW_SHOPS)
def test_best_order_of_one_stage_wells_is_the_flow_shop_optimum(source: str) -> None:
    """Of all orders of the wells the best takes exactly the published flow-shop optimum, the listed one what it takes.

    Wells of one stage, no swap: wireline and fleet are the two machines (D11, D12, D13, D16).
    """
    jobs, optimum, as_listed = FLOW_SHOPS[source]
    wells = [well(f"w{k}", 1, minutes(w), minutes(p), toe=False) for k, (w, p) in enumerate(jobs)]
    plain = {"wells_in_rotation": len(wells), "swap": {"time": "0 h"}}
    names = [stated["name"] for stated in wells]
    spans = {order: makespan_min(simulate(pad(wells, plain | {"order": order}))) for order in permutations(names)}
    assert min(spans.values()) == pytest.approx(optimum, rel=0, abs=CLOSE_MIN)
    if as_listed is not None:
        assert spans[tuple(names)] == pytest.approx(as_listed, rel=0, abs=CLOSE_MIN)
