"""The rate held within limits: exact, the largest possible, and moving as it must."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from sim.physics.hydraulics import Treatment, hydraulic_horsepower, surface_treating_pressure_psi
from sim.physics.possible import Numbers
from sim.physics.treating_rate import Limit, rate_within_bpm
from tests.physics.treatments import USUAL, treatments, usual

fixed = settings(derandomize=True, deadline=None, max_examples=300)
designs = st.floats(5, 150)
pressures = st.one_of(st.floats(500, 20_000), st.just(inf))
powers = st.one_of(st.floats(100, 60_000), st.just(inf))
NEARLY = 1e-6  # psi and horsepower


def at(rate_bpm: Numbers, treatment: Treatment) -> tuple[np.ndarray, np.ndarray]:
    """Pressure and horsepower at a rate."""
    psi = np.asarray(surface_treating_pressure_psi(rate_bpm, treatment))
    return psi, np.asarray(hydraulic_horsepower(psi, rate_bpm))


def is_(limit: Limit, bound_by: np.ndarray) -> np.ndarray:
    """Where this limit holds the rate."""
    return np.asarray(bound_by == limit)


@fixed
@given(designs, treatments(), pressures, powers)
def test_rate_is_the_largest_within_all_limits(
    design_bpm: float, treatment: Treatment, limit_psi: float, horsepower: float
) -> None:
    """No limit is exceeded, and the one that is named is reached; the rate is never above the design."""
    rate, bound_by = rate_within_bpm(design_bpm, treatment, limit_psi, horsepower)
    psi, power = at(rate, treatment)
    flows = rate > 0
    assert np.all(rate <= design_bpm)
    assert np.all(psi[flows] <= limit_psi + NEARLY)
    assert np.all(power <= horsepower + NEARLY)
    assert np.all(rate[is_(Limit.DESIGN, bound_by)] == design_bpm)
    assert psi[flows & is_(Limit.PRESSURE, bound_by)] == pytest.approx(limit_psi, rel=0, abs=NEARLY)
    assert power[is_(Limit.HORSEPOWER, bound_by)] == pytest.approx(horsepower, rel=0, abs=NEARLY)


@fixed
@given(designs, treatments(), pressures, powers)
def test_without_flow_it_is_pressure_that_forbids_it(
    design_bpm: float, treatment: Treatment, limit_psi: float, horsepower: float
) -> None:
    """The rate is zero just where the well at rest is at the limit of pressure already."""
    rate, bound_by = rate_within_bpm(design_bpm, treatment, limit_psi, horsepower)
    at_rest = np.asarray(surface_treating_pressure_psi(np.zeros_like(rate), treatment))
    assert np.array_equal(rate == 0, at_rest >= limit_psi)
    assert np.all(is_(Limit.PRESSURE, bound_by[rate == 0]))


@fixed
@given(designs, treatments(), pressures, powers)
def test_toe_is_never_faster_than_heel(
    design_bpm: float, treatment: Treatment, limit_psi: float, horsepower: float
) -> None:
    """The longer the pipe, the lower the rate within a limit: rates rise from toe to heel."""
    rate, bound_by = rate_within_bpm(design_bpm, treatment, limit_psi, horsepower)
    assert np.all(np.diff(rate) >= -1e-9 * design_bpm)
    limited = (rate[:-1] > 0) & ~is_(Limit.DESIGN, bound_by[:-1])
    assert np.all(np.diff(rate)[limited] > 0)


@fixed
@given(designs, treatments(), pressures, powers, st.floats(1, 2), st.floats(1, 2), st.floats(0, 1))
def test_wider_limits_and_less_friction_never_slow_a_stage(
    design_bpm: float,
    treatment: Treatment,
    limit_psi: float,
    horsepower: float,
    wider: float,
    stronger: float,
    smoother: float,
) -> None:
    """More pressure, more horsepower or more friction reduction: each stage at least as fast."""
    rate = rate_within_bpm(design_bpm, treatment, limit_psi, horsepower).rate_bpm
    reduction = treatment.friction_reduction
    easier = replace(treatment, friction_reduction=reduction + smoother * (0.95 - reduction))
    for other in (
        rate_within_bpm(design_bpm, treatment, limit_psi * wider, horsepower),
        rate_within_bpm(design_bpm, treatment, limit_psi, horsepower * stronger),
        rate_within_bpm(design_bpm, easier, limit_psi, horsepower),
    ):
        assert np.all(other.rate_bpm >= rate - 1e-9 * design_bpm)


@pytest.mark.parametrize(
    ("limit_psi", "horsepower"), [(9_000, inf), (inf, 17_000), (9_000, 18_500), (8_000, 17_000), (5_500, 9_000)]
)
def test_rates_against_another_solver(limit_psi: float, horsepower: float) -> None:
    """Stage by stage scipy's bracketing solver finds the same rate in the formula of the pressure."""
    rates = rate_within_bpm(90.0, USUAL, limit_psi, horsepower).rate_bpm
    for depth, rate in zip(np.asarray(USUAL.measured_depth_ft), rates, strict=True):
        stage = usual(measured_depth_ft=float(depth))

        def excess(bpm: float, stage: Treatment = stage) -> float:
            psi, power = at(bpm, stage)
            return float(max(psi - limit_psi, power - horsepower))

        expected = 90.0 if excess(90.0) <= 0 else brentq(excess, 1e-6, 90.0, xtol=1e-12)
        assert rate == pytest.approx(expected, rel=1e-10)


def test_each_limit_has_its_part_of_the_lateral() -> None:
    """Between toe and heel of the usual well horsepower binds, then nothing does; a tighter pressure takes the toe."""
    rate, bound_by = rate_within_bpm(90.0, USUAL, 9_100, 18_800)
    changes = bound_by[np.r_[True, np.diff(bound_by) != 0]]
    assert list(changes) == [Limit.PRESSURE, Limit.HORSEPOWER, Limit.DESIGN]
    assert rate[0] < 85 < rate[-1] == 90


@pytest.mark.parametrize("viscosity_cp", [1.0, 30.0, 300.0, 3_000.0])
@pytest.mark.parametrize("fluid_limit_psi", [0.5, 20.0, 500.0])
def test_thick_fluids_too(viscosity_cp: float, fluid_limit_psi: float) -> None:
    """Where flow turns laminar on the way down to the limit, the limit is still met."""
    treatment = usual(viscosity_cp=viscosity_cp, friction_reduction=0.0)
    limit = float(np.asarray(surface_treating_pressure_psi(0.0, USUAL)).max()) + fluid_limit_psi
    rate, bound_by = rate_within_bpm(90.0, treatment, limit, inf)
    assert np.all(is_(Limit.PRESSURE, bound_by))
    assert surface_treating_pressure_psi(rate, treatment) == pytest.approx(limit, rel=0, abs=NEARLY)


def test_a_well_that_takes_fluid_by_itself_needs_no_power() -> None:
    """Under a heavy column and a weak rock the surface is on vacuum; no horsepower holds the rate back."""
    weak = usual(fracture_gradient_psi_per_ft=0.45, density_ppg=14.0, perforations=200.0)
    rate, bound_by = rate_within_bpm(20.0, weak, 10_000, 1.0)
    assert np.all(np.asarray(surface_treating_pressure_psi(20.0, weak)) < 0)
    assert np.all(rate == 20)
    assert np.all(is_(Limit.DESIGN, bound_by))


def test_one_stage_alone_or_all_at_once() -> None:
    """A stage by itself gets the rate that it gets among the others; limits may be stated stage by stage."""
    horsepower = np.linspace(15_000, 20_000, 50)
    together, bound_by = rate_within_bpm(90.0, USUAL, 9_000, horsepower)
    for k in (0, 17, 49):
        depth = float(np.asarray(USUAL.measured_depth_ft)[k])
        alone = rate_within_bpm(90.0, usual(measured_depth_ft=depth), 9_000, float(horsepower[k]))
        assert float(alone.rate_bpm) == pytest.approx(together[k], rel=1e-12)
        assert int(alone.bound_by) == bound_by[k]


def test_limits_of_nothing_are_refused() -> None:
    """A pad without horsepower does not pump, and that is not a question of rate."""
    with pytest.raises(ValueError, match="horsepower is 0"):
        rate_within_bpm(90.0, USUAL, 9_000, 0.0)
    with pytest.raises(ValueError, match="pressure_limit_psi is -1"):
        rate_within_bpm(90.0, USUAL, -1.0, 20_000)
