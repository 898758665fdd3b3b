"""The rate that a fleet holds in a stage, by the formulae of the handbooks worked out anew, and what follows."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, log10
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from sim import activities as act
from sim.pad import simulate
from sim.physics.treating_rate import Limit
from sim.scenario.equipment import PumpingFleet
from sim.scenario.treating import HeldRates, held_rates
from sim.scenario.wells import Well
from tests.field.example import example
from tests.field.records import rows_of
from tests.pads import NOW, pad, units, well

HP_A_PUMP = 1250.0
MOST_PSI = 9500.0  # the stack's 10,000 psi less 5 %


def treating_psi(rate_bpm: float, depth_ft: float) -> float:
    """Pressure at the wellhead of a stage of the example: Economides & Nolte, Reservoir Stimulation (from memory).

    0.8 psi/ft at 10,200 ft, 300 psi near the wellbore, water of 8.34 ppg and 1 cP with 70 % less pipe friction in
    4.778 in, 30 perforations of 0.42 in with coefficient 0.8.
    """
    capacity = 4.778**2 / 1029.4  # bbl/ft, handbook (published)
    velocity = rate_bpm / capacity / 60
    reynolds = 928 * 8.34 * velocity * 4.778  # Bourgoyne et al., Applied Drilling Engineering (from memory)
    root = brentq(lambda x: x - 4 * log10(reynolds / x) + 0.4, 1, 100)  # Prandtl and Karman: 1 / sqrt(f)
    pipe = 0.3 * root**-2 * 8.34 * velocity**2 / (25.8 * 4.778) * depth_ft
    return 0.8 * 10200 + 300 + pipe + perforations_psi(rate_bpm) - column_psi(10200)


def perforations_psi(rate_bpm: float) -> float:
    return 0.2369 * 8.34 * rate_bpm**2 / (30**2 * 0.42**4 * 0.8**2)


def column_psi(depth_ft: float) -> float:
    return 0.052 * 8.34 * depth_ft


def highest_bpm(fits: Callable[[float], float]) -> float:
    """The rate at which what must stay positive becomes zero."""
    return float(brentq(fits, 1, 200))


def larkspur(number: int = 1) -> Well:
    """Larkspur 1: heel at 10,700 ft, fifty stages over 10,000 ft."""
    return example().wells[number - 1]


def fleet(**stated: Any) -> PumpingFleet:
    return PumpingFleet.model_validate({"rate_limit": "120 bbl/min"} | stated)


def held(stage: int, together: int = 1, **stated: Any) -> tuple[float, int, float, int]:
    """Rate, what holds it there, pressure and pumps of one stage of Larkspur 1."""
    rates: HeldRates = held_rates(larkspur(), fleet(**stated), together)
    at = stage - 1
    return float(rates.rate_bpm[at]), rates.bound_by[at], float(rates.surface_psi[at]), int(rates.pumps_needed[at])


def depth_ft(stage: int) -> float:
    return 10_700 + 10_000 * (50 - stage + 0.5) / 50


def test_the_formulae_give_the_handbook_values() -> None:
    """893 psi over the perforations and 0.7746 psi a foot of pipe at 90 bbl/min; 4,337 psi of water at 10,000 ft."""
    assert perforations_psi(90) == pytest.approx(893, abs=0.5)
    by_the_foot = treating_psi(90, 20_000) - treating_psi(90, 19_999)
    assert by_the_foot / 0.3 == pytest.approx(0.7746, rel=5e-4)
    assert column_psi(10_000) == pytest.approx(4337, abs=0.5)


def test_the_toe_is_held_by_pressure_and_the_heel_by_design() -> None:
    """At 90 bbl/min the toe would treat above the limit, the heel far below; handbook roundings make 0.2 % at most."""
    assert treating_psi(90, depth_ft(1)) > MOST_PSI > treating_psi(90, depth_ft(50))
    rate, bound_by, psi, pumps = held(1)
    assert rate == pytest.approx(highest_bpm(lambda q: MOST_PSI - treating_psi(q, depth_ft(1))), rel=2e-3)
    assert (bound_by, psi) == (Limit.PRESSURE, pytest.approx(MOST_PSI, rel=1e-6))
    assert pumps == ceil(MOST_PSI * rate / 40.8 / HP_A_PUMP)
    rate, bound_by, psi, pumps = held(50)
    assert (rate, bound_by) == (90, Limit.DESIGN)
    assert psi == pytest.approx(treating_psi(90, depth_ft(50)), rel=2e-3)
    assert pumps == ceil(psi * 90 / 40.8 / HP_A_PUMP)


def test_stages_are_the_faster_the_nearer_to_the_heel() -> None:
    """The rate rises from the toe until the design holds it; stated hours follow from it, with all of the fluid."""
    rates = held_rates(larkspur(), fleet(), 1)
    assert np.all(np.diff(rates.rate_bpm) >= 0)
    assert rates.rate_bpm[0] < rates.rate_bpm[-1] == 90
    slow = rates.bound_by == Limit.PRESSURE
    assert slow.any()
    assert not slow[np.argmin(slow) :].any()  # once the design holds it, it holds it up to the heel


@pytest.mark.parametrize("pumps", [6, 8, 10, 12])
def test_too_few_pumps_hold_the_rate(pumps: int) -> None:
    """So many pumps at work, of 1,250 hp each: pressure times rate over 40.8 is what they have, in every stage."""
    for stage in (1, 25, 50):
        at_ft = depth_ft(stage)
        rate, bound_by, psi, needed = held(stage, pumps=pumps + 2)
        assert bound_by == Limit.HORSEPOWER
        assert psi * rate / 40.8 == pytest.approx(pumps * HP_A_PUMP, rel=1e-6)
        assert needed == pumps
        own = highest_bpm(lambda q, ft=at_ft: pumps * HP_A_PUMP - treating_psi(q, ft) * q / 40.8)
        assert rate == pytest.approx(own, rel=2e-3)


def test_wells_pumped_together_share_the_fleet() -> None:
    """120 bbl/min into two wells are 60 into each, and both take pumps: twice what one needs at 60."""
    rate, bound_by, psi, pumps = held(1, together=2)
    assert (rate, bound_by) == (60, Limit.DESIGN)
    assert psi == pytest.approx(treating_psi(60, depth_ft(1)), rel=2e-3)
    assert pumps == ceil(2 * psi * 60 / 40.8 / HP_A_PUMP)
    weak, bound_by, psi, needed = held(1, together=2, pumps=14)
    assert bound_by == Limit.HORSEPOWER
    assert needed == 12
    assert 2 * psi * weak / 40.8 == pytest.approx(12 * HP_A_PUMP, rel=1e-6)


def test_a_rate_beyond_the_fleet_is_cut_to_it() -> None:
    """Of a design of 90, a fleet that pumps 70 holds 70; of two wells 35 each."""
    assert held(50, rate_limit="70 bbl/min")[0] == pytest.approx(70)
    assert held(50, together=2, rate_limit="70 bbl/min")[0] == pytest.approx(35)


def test_without_pressures_only_design_and_fleet_count() -> None:
    """No pressure, no pumps needed: all but the spares run."""
    plain = larkspur().model_copy(update={"pressure": None})
    rates = held_rates(plain, fleet(pumps=3), 2)
    assert set(rates.rate_bpm) == {60.0}
    assert set(rates.pumps_needed) == {0}
    assert set(rates.surface_psi) == {0.0}


def test_hours_of_pumping_follow_from_the_rate_held() -> None:
    """On a pad that pumps as designed: fluid over rate, stage by stage, the toe taking longest."""
    pressure = {"true_vertical_depth": "10200 ft", "margin": "5 %"}
    stated = well("A", 10, NOW, "from design", toe=True, fluid="9000 bbl", pressure=pressure, measured_depth="20700 ft")
    scenario = pad([stated], {}, units=units(pumping_fleets={"rig_up": NOW, "rig_down": NOW}))
    rows = rows_of(simulate(scenario), activity=act.PUMP_STAGE, kind="work")
    found = [row.end_h - row.start_h for row in rows]
    depths = [10_700 + 10_000 * (10 - k + 0.5) / 10 for k in range(1, 11)]
    rates = [min(90.0, highest_bpm(lambda q, ft=ft: MOST_PSI - treating_psi(q, ft))) for ft in depths]
    assert found == pytest.approx([9000 / 60 / rate for rate in rates], rel=2e-3)
    assert found[0] == max(found) > found[-1] == pytest.approx(9000 / 60 / 90)
