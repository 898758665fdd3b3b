"""The knee against closed forms of water-limited pads, and on curves whose bend is known."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.studies.knee import Knee, NoKnee, knee
from analysis.studies.paths_in_plan import Axis
from analysis.studies.sweep import Swept
from analysis.studies.sweep_answer import sentences
from sim.pad import simulate
from tests.benchmarks.pads import many_wells
from tests.theory.pumping import makespan_h
from tests.theory.test_water_makespans import watered

LUCK = np.random.default_rng(7)
X = np.linspace(0.0, 12.0, 13)


def rng() -> np.random.Generator:
    return np.random.default_rng(3)


@pytest.mark.parametrize(("wireline_h", "pump_h", "swap_h"), [(1.5, 2.5, 0.25), (4.0, 2.5, 0.5)])
def test_knee_of_water_rate_is_where_the_closed_form_puts_it(wireline_h: float, pump_h: float, swap_h: float) -> None:
    """q* = V / max(P + S, W), own derivation in the project's notes on water, for endless pads.

    Of n stages with one stage's water on hand, water-limited makespan (n V - V) / q + P meets the unlimited zipper
    W + P + (n - 1) max(P + S, W) at q* (n - 1) / (n - 1 + W / max(P + S, W)): the fit must find that joint, and is
    then within W / max(P + S, W) / (n - 1) of q*.
    """
    volume, wells, stages = 12_000.0, 2, 20
    cycle_h, last = max(pump_h + swap_h, wireline_h), wells * stages - 1
    star = volume / cycle_h
    joint = star * last / (last + wireline_h / cycle_h)
    rates = np.linspace(0.5 * star, 1.7 * star, 11)
    hours = [
        makespan_h(
            simulate(
                watered(
                    wells, stages, wireline_h, pump_h, swap_h, toe=False, volume=volume, inflow=float(rate),
                    capacity=60_000, on_hand=volume, rule="full stage on hand",
                )
            )
        )
        for rate in rates
    ]  # fmt: skip
    found = knee(rates, np.repeat(np.array(hours)[:, None], 5, axis=1), 0.9, rng())
    assert isinstance(found, Knee)
    assert found.place == pytest.approx(joint, rel=1e-5)
    assert found.low <= joint * (1 + 1e-6)
    assert joint <= found.high * (1 + 1e-6)
    assert found.place == pytest.approx(star, rel=1.01 * wireline_h / cycle_h / last)
    assert found.beyond == pytest.approx(0.0, abs=1e-6)
    assert found.before == pytest.approx(-last * volume / joint**2, rel=1e-3)  # derivative of (n V - V) / q


@pytest.mark.parametrize("mirrored", [False, True])
def test_bend_of_straight_lines_is_found_exactly(mirrored: bool) -> None:
    """A knee where steps stop paying, and one where they begin to cost."""
    line = 200.0 - 8.0 * np.minimum(X, 4.3) - 0.5 * np.maximum(X - 4.3, 0.0)
    place = 12.0 - 4.3 if mirrored else 4.3
    found = knee(X, (line[::-1] if mirrored else line)[:, None], 0.5, rng())
    assert isinstance(found, Knee)
    assert found.place == pytest.approx(place, abs=1e-3)
    slopes = (0.5, 8.0) if mirrored else (-8.0, -0.5)
    assert (found.before, found.beyond) == pytest.approx(slopes, abs=1e-3)


def test_interval_covers_the_true_knee_as_often_as_it_says() -> None:
    """Of 25 studies with luck, the 95 % interval may miss in as many as the binomial allows at 1 in 10 000."""
    missed = 0
    for study in range(25):
        luck = np.random.default_rng(study)
        hours = 300.0 - 12.0 * np.minimum(X, 5.0)[:, None] + luck.normal(0, 6, (1, 120)) + luck.normal(0, 3, (13, 120))
        found = knee(X, hours, 0.5, np.random.default_rng(study))
        assert isinstance(found, Knee)
        assert found.high - found.low < 1.5
        missed += not found.low <= 5.0 <= found.high
    assert missed <= 6  # binom.isf(1e-4, 25, 0.05) is 7 at most


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (100.0 - 3.0 * X, "no step counts"),
        (np.full(13, 50.0), "does not answer"),
        (np.where(X < 10, np.inf, 5.0), "at least 5 points"),
    ],
)
def test_where_there_is_no_knee_none_is_stated(line: np.ndarray, reason: str) -> None:
    """A straight line, a level one, and one that is mostly out of sight."""
    found = knee(X, np.repeat(line[:, None], 8, axis=1), 0.9, rng())
    assert isinstance(found, NoKnee)
    assert reason in found.reason


@pytest.mark.parametrize("bend", [0.4, 1.0, 11.3])
def test_a_bend_in_the_outermost_step_lies_anywhere_in_it(bend: float) -> None:
    """As with counts, of which the second is enough: nothing tells where between one and two that would be."""
    line = 100.0 - 5.0 * np.minimum(X, bend) if bend < 6 else 100.0 - 5.0 * np.maximum(X - bend, 0.0)
    found = knee(X, np.repeat(line[:, None], 8, axis=1), 0.9, rng())
    assert isinstance(found, Knee)
    assert (found.place, found.low, found.high) == pytest.approx((1, 0, 1) if bend < 6 else (11, 11, 12), abs=1e-3)


def test_a_rate_over_its_whole_range_has_no_knee() -> None:
    """Hours over a rate bend all along and nowhere in particular."""
    rates = np.linspace(20.0, 90.0, 9)
    found = knee(rates, (6000.0 / rates)[:, None], 0.9, rng())
    assert isinstance(found, NoKnee)


def test_too_much_noise_is_said_to_be_so() -> None:
    """A bend that resampled luck does not confirm is not stated."""
    hours = 100.0 - 1.0 * np.minimum(X, 5.0)[:, None] + LUCK.normal(0, 40, (13, 20))
    found = knee(X, hours, 0.9, rng())
    assert isinstance(found, NoKnee)


@pytest.mark.parametrize(
    ("before", "beyond", "said"),
    [
        (-24.0, -1.0, "beyond it one more step stops paying; 1 h more moves P90 by -1.0 days"),
        (24.0, 1.0, "beyond it one more step costs no more; 1 h more moves P90 by +1.0 days"),
        (1.0, 24.0, "up to there it hardly matters; 1 h more moves P90 by +0.0 days"),
    ],
)
def test_a_knee_is_told_by_what_a_step_does_before_it(before: float, beyond: float, said: str) -> None:
    """More of what makes a date later does not pay anywhere, so it cannot stop paying."""
    axis = Axis("swap", ("1 h", "2 h", "3 h"), (1.0, 2.0, 3.0), "h", "number")
    swept = Swept(many_wells(2), (axis,), "every well on production", np.full((3, 4), 900.0), 0, 4)
    answer = sentences(swept, Knee(2.0, 1.8, 2.2, before, beyond, 900.0))
    assert said in answer[1]
