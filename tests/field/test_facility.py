"""Wells wait for the facility until those before them have declined enough: closed forms, and any small pad."""

from __future__ import annotations

from math import expm1, log, log1p
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.checking.averages import plan_of_averages
from sim import activities as act
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import rows_of
from tests.pads import NOW, pad, units, well

MONTH_H = 30.4 * 24  # months of 30.4 days, as in US EIA decline curves (published)
FAST = "16000 ft/min"
SEARCH_H = 0.0101  # the moment of room is found to a hundredth of an hour, and never too early


def flowing(
    peaks: list[float], limit: float | None, *, decline: float = 0.5, b: float = 0.0, line_h: float = 1.0, **curve: str
) -> Scenario:
    """Wells ready at hours 1, 2, ... and their peaks in bbl/day, declining by that share in the first month.

    Without an exponential end, unless it is stated among the rest of the `curve`.
    """
    production = {"decline": f"{100 * decline!r} %", "b": b, "terminal_decline": "0.0001 %"} | curve
    wells = [
        well(f"w{number}", 1, NOW, "1 h", toe=True, production=production | {"peak": f"{peak!r} bbl/day"})
        | {"measured_depth": "2 ft", "lateral_length": "1 ft"}
        for number, peak in enumerate(peaks, start=1)
    ]
    spread = {"count": len(peaks), "rig_up": NOW, "duration": NOW, "turn_in_line": f"{line_h!r} h"}
    rigs = {"count": len(peaks), "rig_up": NOW, "rig_down": NOW, "per_plug": NOW, "run_in": FAST, "pull_out": FAST}
    stated = units(milling_rigs=rigs, flowback_spreads=spread)
    strategy = {"wells_in_rotation": 1, "swap": {"time": NOW}, "between_groups": NOW}
    more: dict[str, Any] = {} if limit is None else {"facility": {"limit": f"{limit!r} bbl/day"}}
    return pad(wells, strategy, units=stated, horizon="8000 day", **more)


def turned_in_h(found: Log) -> dict[str, float]:
    """When each well begins to be turned in line."""
    return {row.well: row.start_h for row in rows_of(found, activity=act.TURN_IN_LINE, kind="work")}


def test_without_a_limit_nobody_waits() -> None:
    """Wells are turned in line as they are ready, an hour apart; nor with a limit that is never reached."""
    for limit in (None, 2501):
        found = simulate(flowing([1000, 800, 700], limit))
        assert list(turned_in_h(found).values()) == pytest.approx([1, 2, 3], abs=1e-4)
        assert rows_of(found, cause=act.FACILITY) == []


def test_exponential_decline_by_hand() -> None:
    """1,000 bbl/day halved every month, limit 1,500: the second well fits a month after the first.

    Then 500 + 1,000 flow, and the third fits when 1,500 e^-Dt is 500: after log 3 / log 2 = 1.585 months more, a
    month being 30.4 days; the fourth when 1,500 is 500 again.
    """
    scenario = flowing([1000, 1000, 1000, 1000], 1500)
    found = simulate(scenario)
    third_h = log(3) / log(2) * MONTH_H
    expected = [1, 1 + MONTH_H, 1 + MONTH_H + third_h, 1 + MONTH_H + 2 * third_h]
    assert list(turned_in_h(found).values()) == pytest.approx(expected, abs=3 * SEARCH_H)
    waits = rows_of(found, cause=act.FACILITY)
    assert [round(row.start_h) for row in waits] == [2, 3, 4]
    assert {(row.kind, row.activity) for row in waits} == {("wait", "stand by")}
    assert violations(found, scenario) == []


def test_harmonic_and_hyperbolic_decline_by_hand() -> None:
    """A half is lost in the first month: harmonic q = q0 / (1 + t); with b = 1/2, q = q0 / (1 + (sqrt 2 - 1) t)^2.

    Down to a quarter it takes 3 months; with b = 1/2 it takes 1 / (sqrt 2 - 1) months.
    """
    for b, months in ((1.0, 3.0), (0.5, 1 / (2**0.5 - 1))):
        found = turned_in_h(simulate(flowing([800, 800], 1000, b=b)))
        assert found["w2"] - found["w1"] == pytest.approx(months * MONTH_H, abs=2 * SEARCH_H)


def test_a_small_well_does_not_overtake_a_large_one() -> None:
    """Wells are turned in line in the order in which they are ready, though the last would fit at once."""
    found = turned_in_h(simulate(flowing([1000, 900, 50], 1100)))
    assert list(found) == ["w1", "w2", "w3"]
    assert found["w1"] < found["w2"] <= found["w3"]
    room_h = log(1000 / 200) / log(2) * MONTH_H
    assert found["w2"] - found["w1"] == pytest.approx(room_h, abs=2 * SEARCH_H)


@pytest.mark.parametrize(("spreads", "waits_h"), [(1, 24.0), (3, None)])
def test_a_spread_stays_on_a_well_that_waits_for_room(spreads: int, waits_h: float | None) -> None:
    """With one spread the small third well follows the second by the day it takes to turn that in line.

    With three it only needs room for 10 bbl/day: that 1,500 have declined by one part in 150.
    """
    scenario = flowing([1000, 1000, 10], 1500, line_h=24.0)
    spread = scenario.units.flowback_spreads[0].model_copy(update={"count": spreads})
    stated = scenario.units.model_copy(update={"flowback_spreads": (spread,)})
    found = turned_in_h(simulate(scenario.model_copy(update={"units": stated})))
    expected_h = waits_h or log(1500 / 1490) / log(2) * MONTH_H
    assert found["w3"] - found["w2"] == pytest.approx(expected_h, abs=2 * SEARCH_H)


def rate(peak: float, decline: float, b: float, hours: float) -> float:
    """Arps' curve that loses the share `decline` in its first month (Arps 1945, from memory)."""
    fall = -log1p(-decline)
    months = hours / MONTH_H
    return peak * 2.718281828459045 ** (-fall * months) if b == 0 else peak * (1 + expm1(b * fall) * months) ** (-1 / b)


def test_room_is_kept_while_a_well_rises_and_stays_at_its_peak() -> None:
    """Ten days to the peak and twenty at it: the decline that makes room for the second well begins 30 days later."""
    found = turned_in_h(simulate(flowing([1000, 1000], 1500, days_to_peak="10 day", plateau="20 day")))
    assert found["w2"] - found["w1"] == pytest.approx(30 * 24 + MONTH_H, abs=2 * SEARCH_H)


def test_the_exponential_end_makes_room_sooner() -> None:
    """Harmonic, D = 1 a month, so q = q0 / (1 + t), with an end of 1 - e^-0.25 a month: from t = 3 on, at a quarter.

    From there down to an eighth it takes log 2 / 0.25 months; without the end it would be four months more.
    """
    end = f"{-100 * expm1(-0.25)!r} %"
    found = turned_in_h(simulate(flowing([800, 800], 900, b=1.0, terminal_decline=end)))
    assert found["w2"] - found["w1"] == pytest.approx((3 + log(2) / 0.25) * MONTH_H, abs=2 * SEARCH_H)


def test_a_plan_of_averages_sees_the_facility() -> None:
    """Where nothing is left to chance, averages promise the very hours of the simulation."""
    scenario = flowing([1000, 1000, 1000], 1500, days_to_peak="10 day")
    promised, found = plan_of_averages(scenario).on_production_h, turned_in_h(simulate(scenario))
    assert promised == pytest.approx({name: at_h + 1 for name, at_h in found.items()}, abs=4 * SEARCH_H)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(
    st.lists(st.integers(50, 1000).map(float), min_size=1, max_size=7),
    st.floats(1.02, 4.0),
    st.floats(0.05, 0.9),
    st.sampled_from([0.0, 0.3, 1.0, 1.6]),
)
def test_the_limit_is_never_exceeded_when_a_well_is_turned_in_line(
    peaks: list[float], room: float, decline: float, b: float
) -> None:
    """Every well comes once it fits in with what the others have declined to, and waits not a minute longer."""
    limit = room * max(peaks)
    found = simulate(flowing(peaks, limit, decline=decline, b=b))
    begun = turned_in_h(found)
    before: list[tuple[float, float]] = []
    for number, (name, at_h) in enumerate(begun.items(), start=1):
        peak = peaks[int(name[1:]) - 1]

        def flow(hour: float, wells: tuple[tuple[float, float], ...] = tuple(before)) -> float:
            return sum(rate(each, decline, b, hour - since) for since, each in wells)

        assert flow(at_h) + peak <= limit * (1 + 1e-9)
        earlier_h = at_h - 0.02
        if earlier_h > max(number, before[-1][0] if before else 0):
            assert flow(earlier_h) + peak > limit
        before.append((at_h, peak))
    assert begun or found.cut_short
