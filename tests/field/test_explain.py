"""The arithmetic of a stage as printed: every line added up again, and held against the plan of averages."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import ceil
from typing import Any, NamedTuple

import pytest

from analysis.checking.averages import AVERAGE, pace
from analysis.checking.explain import Stage, explain
from analysis.checking.explanation import NoSuchStageError, find_stage
from sim.operations.stage_times import StageTimes
from sim.operations.wireline import runs_of
from sim.scenario.scenario import Scenario
from sim.scenario.wells import Well
from tests.field.example import example

BY_THE_FOOT = {
    "well_defaults.stage_design.fluid": None,
    "well_defaults.stage_design.fluid_per_length": "45 bbl/ft",
    "well_defaults.stage_design.pad": "300 bbl",
}
SCENARIOS: dict[str, tuple[str | None, dict[str, Any]]] = {
    "as it is": (None, {}),
    "simultaneous": ("simultaneous", {}),
    "by the foot": (None, BY_THE_FOOT),
    "few pumps": (None, {"units.pumping_fleets.Fleet A.pumps": 14}),
    "stated hours": (
        None,
        {"well_defaults.stage_design.pump_time": "2 h", "well_defaults.stage_design.wireline_time": "3 h"},
    ),
}
STAGES = [("Larkspur 1", 1), ("Larkspur 3", 2), ("Larkspur 4", 20), ("Larkspur 6", 46)]


class Printed(NamedTuple):
    """A number as it stands there, between what would have been rounded to it."""

    low: float
    high: float

    @property
    def value(self) -> float:
        return (self.low + self.high) / 2


def numbers(text: str) -> list[Printed]:
    """All numbers of a text."""
    found = []
    for number in re.findall(r"\d[\d,]*(?:\.\d+)?", text):
        plain = number.replace(",", "")
        half = 0.5 * 10 ** -len(plain.partition(".")[2])
        found.append(Printed(float(plain) - half, float(plain) + half))
    return found


def hours_of(result: str) -> Printed:
    """`43 min` or `1.05 h`."""
    (number,) = numbers(result)
    return number if result.endswith(" h") else Printed(number.low / 60, number.high / 60)


class Sheet:
    """The lines about one stage, by topic."""

    def __init__(self, scenario: Scenario, well: str, number: int) -> None:
        self.stage: Stage = find_stage(scenario, well, number)
        self.lines = {line.topic: line for line in explain(self.stage)}

    def result(self, topic: str) -> float:
        return numbers(self.lines[topic].result)[0].value

    def of(self, topic: str) -> list[float]:
        return [number.value for number in numbers(self.lines[topic].reckoning)]


@pytest.fixture(params=[(name, *stage) for name in SCENARIOS for stage in STAGES], ids=lambda each: f"{each}")
def sheet(request: pytest.FixtureRequest) -> Sheet:
    name, well, number = request.param
    return Sheet(example(*SCENARIOS[name]), well, number)


def test_depths(sheet: Sheet) -> None:
    """Heel, middle of the stage and its depth: differences and sums to the foot."""
    depth, lateral = sheet.of("heel")
    assert sheet.result("heel") == depth - lateral
    length, stages, number, _, _, again = sheet.of("middle of the stage from the heel")
    assert (length, again, number) == (lateral, stages, sheet.stage.number)
    from_heel = lateral * (stages - number + 0.5) / stages
    assert sheet.result("middle of the stage from the heel") == pytest.approx(from_heel, abs=0.5)
    assert sheet.result("its measured depth") == pytest.approx(sum(sheet.of("its measured depth")), abs=1)


def test_volumes(sheet: Sheet) -> None:
    """Stated, or by the foot with pad and a flush of the casing down to the stage."""
    if "flush" not in sheet.lines:
        assert sheet.result("fluid") == sheet.stage.well.stage_design.fluid
        return
    flush = 4.778**2 / 1029.4 * sheet.result("its measured depth")
    assert sheet.result("flush") == pytest.approx(flush, abs=0.6)
    length, per_ft, pad = numbers(sheet.lines["fluid"].reckoning)
    low, high = (side * per_ft.value + pad.value + flush for side in (length.low, length.high))
    assert low - 1 <= sheet.result("fluid") <= high + 1
    assert (per_ft.value, pad.value) == (45, 300)


def test_pressure_terms_add_up(sheet: Sheet) -> None:
    """What opens the rock, the frictions, less the weight: the treating pressure, within its limit."""
    terms = {topic: sheet.result(topic) for topic in sheet.lines if sheet.lines[topic].result.endswith(" psi")}
    surface = terms.pop("= treating pressure")
    signs = {topic: -1 if topic.startswith("-") else 1 for topic in terms}
    assert len(terms) == 5
    assert sum(signs[topic] * psi for topic, psi in terms.items()) == pytest.approx(surface, abs=3)
    gradient, depth = sheet.of("to open the rock")
    assert terms["to open the rock"] == pytest.approx(gradient * depth, abs=0.5)
    assert terms["- weight of the fluid"] == pytest.approx(12 / 231 * 8.34 * depth, abs=0.5)
    rating, less, most = sheet.of("= treating pressure")
    assert most == rating * (1 - less / 100)
    assert surface <= most + 0.5


def test_power_and_pumps(sheet: Sheet) -> None:
    """Pressure x rate / 40.8, for all wells pumped at once; pumps of so many horsepower that do it."""
    *wells, psi, rate, divisor = numbers(sheet.lines["hydraulic horsepower"].reckoning)
    together = wells[0].value if wells else 1
    assert together == sheet.stage.scenario.strategy.pumped_together
    assert divisor.value == pytest.approx(40.8)
    low, high = (together * p * q / 40.8 for p, q in ((psi.low, rate.low), (psi.high, rate.high)))
    assert low - 0.5 <= sheet.result("hydraulic horsepower") <= high + 0.5
    power, each, pumps, spare = sheet.of("pumps needed")
    assert power == sheet.result("hydraulic horsepower")
    assert sheet.result("pumps needed") in {ceil((power - 0.5) / each), ceil((power + 0.5) / each)}
    assert sheet.result("pumps needed") <= pumps - spare


def test_rate_and_what_holds_it(sheet: Sheet) -> None:
    """No more than the design, a share of the fleet, the limit of pressure or the horsepower: one of them binds."""
    line, rate = sheet.lines["rate held"], sheet.result("rate held")
    design, fleet, *wells = sheet.of("rate held")
    most = min(design, fleet / (wells[0] if wells else 1))
    assert rate <= most
    by_words = {
        "the design": rate == most,
        "the rating of the stack less its margin": sheet.result("= treating pressure") == 9500,
        "the horsepower of the pumps that run": sheet.result("pumps needed") == 12,
    }
    bound = line.reckoning.partition("bound by ")[2]
    assert by_words[bound], bound


def test_hours_of_pumping(sheet: Sheet) -> None:
    """Fluid over rate, times the factor, plus the addition, as printed; stated hours are said to be so."""
    line = sheet.lines["pumping"]
    if line.reckoning == "stated":
        assert hours_of(line.result).value == 2.0
        return
    fluid, rate, _, factor, plus = numbers(line.reckoning)
    low = fluid.low / rate.high / 60 * factor.low + plus.low
    high = fluid.high / rate.low / 60 * factor.high + plus.high
    assert low - 0.005 <= hours_of(line.result).value <= high + 0.005
    assert fluid.value == sheet.result("fluid")
    assert rate.value == pytest.approx(sheet.result("rate held"))


def test_hours_of_the_wireline_run(sheet: Sheet) -> None:
    """Way over speed, piece by piece, and their sum times the factor; the toe has none."""
    if sheet.stage.number == 1:
        assert "opens stage 1" in sheet.lines["wireline"].reckoning
        assert "wireline run" not in sheet.lines
        return
    for topic in ("run in to the heel", "pumped down", "pull out"):
        way, speed = sheet.of(topic)
        found = hours_of(sheet.lines[topic].result)
        assert found.low - 0.01 <= way / speed / 60 <= found.high + 0.01
    line = sheet.lines["wireline run"]
    if line.reckoning == "stated":
        assert hours_of(line.result).value == 3.0
        return
    *parts, factor, plus = numbers(line.reckoning)
    low, high = (sum(part[side] for part in parts) * factor[side] + plus.value for side in (0, 1))
    assert low - 0.005 <= hours_of(line.result).value <= high + 0.005
    way, speed = sheet.of("pumped down")
    assert sheet.result("pump-down water") == pytest.approx(12 * way / speed, abs=0.6)


def test_hours_are_those_of_the_plan_of_averages(sheet: Sheet) -> None:
    """The same pumping, swap and wireline hours that the plan of averages goes by, rounded as printed."""
    stage, well = sheet.stage, sheet.stage.well
    times = StageTimes(AVERAGE, well, stage.scenario.strategy.swap.time, stage.fleet)
    at, together = stage.number - 1, stage.scenario.strategy.pumped_together
    expected = {"pumping": times.pump_h(together)[at], "swap": times.swap_h[at]}
    if at:
        expected["wireline run"] = runs_of(AVERAGE, well, stage.wireline)[at][0]
    for topic, hours in expected.items():
        found = hours_of(sheet.lines[topic].result)
        assert found.low - 1e-9 <= hours <= found.high + 1e-9
    group = next(each for each in stage.scenario.groups if well in each)
    turns = [_pumped_at_once(stage, group[first : first + together]) for first in range(0, len(group), together)]
    mean_h = sum(number * hours for number, hours in turns) / sum(number for number, _ in turns)
    assert pace(stage.scenario, group, stage.fleet).fleet_h == pytest.approx(mean_h + times.swap_h[at])


def _pumped_at_once(stage: Stage, wells: Sequence[Well]) -> tuple[int, float]:
    """Stages of wells pumped at once, and mean hours of each: those of the slowest."""
    times = [StageTimes(AVERAGE, each, stage.scenario.strategy.swap.time, stage.fleet) for each in wells]
    slowest_h = max(sum(each.pump_h(len(wells))) / len(each.pump_h(len(wells))) for each in times)
    return max(each.stage_count for each in wells), slowest_h


def test_troubles_as_stated(sheet: Sheet) -> None:
    """Chance and mean hours lost of all that may strike the stage, and of nothing else."""
    expected = {"screen-out": (1.5, 14), "misrun": (2, 1), "stuck tools": (0.1, 52), "valve trouble": (2, 3)}
    for name, (percent, lost_h) in expected.items():
        assert sheet.result(name) == pytest.approx(percent)
        assert sheet.of(name) == [lost_h]
    assert not {"stuck bit", "sand and debris", "failed pressure test"} & set(sheet.lines)


def test_a_factor_on_troubles_counts() -> None:
    """Half as often; never at factor zero."""
    assert Sheet(example(changes={"trouble_factor": 0.5}), "Larkspur 1", 5).result("screen-out") == 0.75
    assert Sheet(example("no troubles"), "Larkspur 1", 5).result("screen-out") == 0


def test_mean_hours_between_strikes_are_not_rounded_away() -> None:
    """2.5 h between strikes are neither two nor three."""
    sheet = Sheet(example(changes={"troubles.screen-out.every": "2.5 h"}), "Larkspur 1", 5)
    assert sheet.lines["screen-out"].result == "once in 2.5 h of work"


@pytest.mark.parametrize(
    ("well", "number", "message"),
    [
        ("Larkspur 9", 1, r"no well called 'Larkspur 9'.*wells: Larkspur 1, .*Larkspur 6"),
        ("Larkspur 4", 49, r"Larkspur 4 has no stage 49; expected 1, at the toe, to 48"),
        ("Larkspur 4", 0, r"Larkspur 4 has no stage 0"),
        ("Larkspur 4", -1, r"Larkspur 4 has no stage -1"),
    ],
)
def test_what_is_not_there_is_refused(well: str, number: int, message: str) -> None:
    """With what there is instead."""
    with pytest.raises(NoSuchStageError, match=message):
        find_stage(example(), well, number)


@pytest.mark.parametrize("topic", ["fluid", "pumping", "wireline run"])
def test_lines_as_printed_give_what_is_printed(topic: str) -> None:
    """To a hundredth of an hour and two barrels: what a supervisor finds with a pocket calculator."""
    by_the_foot = Sheet(example("simultaneous", BY_THE_FOOT), "Larkspur 4", 20)
    if topic == "fluid":
        length, per_ft, pad = by_the_foot.of("fluid")
        again = length * per_ft + pad + by_the_foot.result("flush")
        assert by_the_foot.result("fluid") == pytest.approx(again, abs=2)
    elif topic == "wireline run":
        *parts, factor, plus = by_the_foot.of("wireline run")
        again = sum(parts) * factor + plus
        assert by_the_foot.result("wireline run") == pytest.approx(again, abs=0.0101)
    else:
        fluid, rate, _, factor, plus = by_the_foot.of("pumping")
        again = fluid / rate / 60 * factor + plus
        assert by_the_foot.result("pumping") == pytest.approx(again, abs=0.0101)


@pytest.mark.parametrize(
    ("stated", "reckoning", "lb"),
    [
        ({}, "stated", 400_000),
        ({"proppant": None}, "none stated", 0),
        ({"proppant": None, "proppant_per_length": "2100 lb/ft"}, "208.33 ft x 2100 lb/ft", 437_500),
    ],
)
def test_proppant_is_stated_or_reckoned_or_neither(stated: dict[str, Any], reckoning: str, lb: float) -> None:
    """10,000 ft of lateral in 48 stages are 208.33 ft each, at 2100 lb/ft 437,500 lb."""
    changes = {"well_defaults.stage_design.proppant": "400 klb"}
    changes |= {f"well_defaults.stage_design.{key}": value for key, value in stated.items()}
    sheet = Sheet(example(changes=changes), "Larkspur 4", 20)
    assert (sheet.lines["proppant"].reckoning, sheet.result("proppant")) == (reckoning, lb)
