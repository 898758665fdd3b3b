"""The whole curve of a well against quadrature, and against the decline that it ends in.

Reference of integrals: scipy.integrate.quad. The decline itself is held to worked numbers in test_decline.py.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from sim.physics import decline, production
from sim.physics.decline import Decline
from sim.physics.production import Curve, cumulative_bbl, rate_bbl_per_day
from sim.scenario.production import DAYS_A_MONTH, Production

fixed = settings(derandomize=True, deadline=None, max_examples=100)
rises = st.one_of(
    st.floats(0.5, 60).map(lambda days: {"days_to_peak": days}),
    st.lists(st.tuples(st.floats(0.5, 20), st.floats(0, 1)), max_size=4).map(lambda steps: {"steps": tuple(steps)}),
)
curves = st.builds(
    lambda rise, plateau, nominal, b, least: Curve(Decline(1000.0, nominal, b, least), plateau_days=plateau, **rise),
    rises,
    st.floats(0, 40),
    st.floats(1e-4, 0.02),
    st.sampled_from([0.0, 1e-12, 0.5, 1.0, 1 + 1e-12, 1.3]),
    st.sampled_from([0.0, 1e-4, 5e-4]),
)


@fixed
@given(curves, st.floats(0, 4000))
def test_volume_is_the_integral_of_the_rate(curve: Curve, days: float) -> None:
    """By quadrature between the corners of the curve, in pieces that get shorter where a steep decline begins."""
    edges = np.cumsum([curve.days_to_peak, *(step for step, _ in curve.steps), curve.plateau_days]).tolist()
    tail = curve.declines_from_days + decline.tail_starts_days(curve.decline)
    corners = [0.0, *(edge for edge in (*edges, tail) if edge < days), days]
    total = sum(
        quad(lambda day: float(rate_bbl_per_day(curve, day)), low, high, epsrel=1e-10, limit=300)[0]
        for first, last in pairwise(corners)
        for low, high in pairwise(first + (last - first) * share for share in (0, 1e-4, 1e-3, 1e-2, 0.1, 0.4, 1))
        if high - low > 1e-9  # days: what is shorter holds next to nothing
    )
    assert float(cumulative_bbl(curve, days)) == pytest.approx(total, rel=1e-7, abs=1e-6)


@fixed
@given(curves, st.lists(st.floats(0, 9000), min_size=2, max_size=20))
def test_volume_never_falls_and_the_peak_is_the_peak(curve: Curve, ages: list[float]) -> None:
    """Arrays give what single ages give; nothing exceeds the peak."""
    ordered = np.sort(np.array(ages))
    volumes, rates = np.asarray(cumulative_bbl(curve, ordered)), np.asarray(rate_bbl_per_day(curve, ordered))
    assert (np.diff(volumes) >= -1e-6).all()
    assert (rates <= curve.peak_bbl_per_day * (1 + 1e-12)).all()
    assert volumes.tolist() == [float(cumulative_bbl(curve, age)) for age in ordered]


def test_without_a_rise_it_is_the_decline() -> None:
    """Arps alone: 1000 bbl/day, nominal 0.1 a month, b 0.5 for 12 months gives 390.625 and 7500 months of rate."""
    bare = Decline(1000.0, 0.1, 0.5)
    assert float(rate_bbl_per_day(Curve(bare), 12.0)) == pytest.approx(390.625, rel=1e-12)
    assert float(cumulative_bbl(Curve(bare), 12.0)) == pytest.approx(7500.0, rel=1e-12)


def test_rise_and_plateau_by_hand() -> None:
    """Even rise over 10 days to 1000 bbl/day is 5000 bbl, 5 days of plateau 5000 more; the decline starts at day 15."""
    curve = Curve(Decline(1000.0, 0.01), days_to_peak=10.0, plateau_days=5.0)
    assert [float(rate_bbl_per_day(curve, day)) for day in (0, 5, 10, 15)] == [0, 500, 1000, 1000]
    assert [float(cumulative_bbl(curve, day)) for day in (5, 10, 15)] == [1250, 5000, 10000]
    assert float(rate_bbl_per_day(curve, 25)) == pytest.approx(1000 * np.exp(-0.1))


def test_choke_steps_by_hand() -> None:
    """Two days at 30 %, three at 60 %, then the peak: 600 and 1800 bbl."""
    curve = Curve(Decline(1000.0, 0.01), steps=((2.0, 0.3), (3.0, 0.6)))
    assert [float(rate_bbl_per_day(curve, day)) for day in (0, 1.9, 2, 4.9, 5)] == [300, 300, 600, 600, 1000]
    assert [float(cumulative_bbl(curve, day)) for day in (2, 5)] == [pytest.approx(600), pytest.approx(2400)]


def test_stated_decline_is_what_is_lost_in_a_month() -> None:
    """12 % are gone after the first month of decline, whatever b; in the tail the stated share goes each month."""
    for b in (0.0, 0.5, 1.1):
        stated = Production.model_validate({"peak": "1000 bbl/day", "decline": "12 %", "b": b})
        assert float(rate_bbl_per_day(stated.curve, DAYS_A_MONTH)) == pytest.approx(880)
    tail = [float(rate_bbl_per_day(stated.curve, 20_000 + months * DAYS_A_MONTH)) for months in (0, 1)]
    assert tail[1] / tail[0] == pytest.approx(1 - 0.008)


def test_water_by_cut_and_by_ratio_agree() -> None:
    """55 % of all liquid is 55 / 45 barrels for each of oil."""
    by_cut = Production.model_validate({"peak": "1 bbl/day", "water_cut": "55 %"})
    by_ratio = Production.model_validate({"peak": "1 bbl/day", "water_oil_ratio": 55 / 45})
    assert by_cut.water_per_oil == pytest.approx(by_ratio.water_per_oil)
    assert Production.model_validate({"peak": "1 bbl/day"}).water_per_oil is None


def test_negative_ages_are_refused() -> None:
    """Nothing flows before the first day."""
    with pytest.raises(ValueError, match="days is -1"):
        production.cumulative_bbl(Curve(Decline(1.0, 0.1)), -1.0)
