"""Makespans of random pads of equal wells against closed forms.

Own derivations, confirmed on 300 random instances by CP-SAT and by longest paths. Minutes; n stages a well, W a
wireline run, P a pumping, S a swap; J = groups x stages. A toe that is open needs no run before stage 1.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.pad import simulate
from tests.pads import minutes, pad, units, well
from tests.theory.pumping import makespan_min, pumpings

fixed = settings(derandomize=True, deadline=None, max_examples=300)
stage_min = st.integers(1, 300)
swap_min = st.integers(0, 200)
stages = st.integers(1, 6)
WHEN_FREE, WHEN_READY = "as soon as the fleet is free", "once the next well is ready"


def zipper_min(
    wells: int, n: int, w: int, p: int, s: int, *, toe: bool, together: int = 1, lines: int = 1, when: str = WHEN_FREE
) -> float:
    """Simulated makespan of one rotation of equal wells."""
    stated = [well(f"w{k}", n, minutes(w), minutes(p), toe=toe) for k in range(wells)]
    strategy = {
        "wells_in_rotation": wells,
        "pumped_together": together,
        "swap": {"time": minutes(s), "when": when},
    }
    return makespan_min(simulate(pad(stated, strategy, units=units(lines))))


def to_the_minute(expected: float) -> object:
    return pytest.approx(expected, rel=0, abs=60e-9)


def zipper_formula(groups: int, n: int, w: int, p: int, s: int, *, toe: bool) -> float:
    jobs = groups * n
    if toe:
        return p + max((jobs - 1) * (p + s), p + (jobs - groups) * w)
    return w + p + (jobs - 1) * max(p + s, w)


@fixed
@given(stages, stage_min, stage_min, st.booleans())
def test_one_well(n: int, w: int, p: int, toe: bool) -> None:
    """One well: wireline and pumping strictly in turn."""
    assert zipper_min(1, n, w, p, 30, toe=toe) == to_the_minute(n * (w + p) - w * toe)


@fixed
@given(st.lists(st.tuples(stages, stage_min, stage_min), min_size=1, max_size=4), swap_min, st.booleans())
def test_strictly_one_well_after_the_other(wells: list[tuple[int, int, int]], s: int, toe: bool) -> None:
    """Sequential, unequal wells: each well's own time, and a move between neighbours."""
    stated = [well(f"w{k}", n, minutes(w), minutes(p), toe=toe) for k, (n, w, p) in enumerate(wells)]
    strategy = {"wells_in_rotation": 1, "between_groups": minutes(s), "swap": {"time": minutes(999)}}
    expected = sum(n * (w + p) - w * toe for n, w, p in wells) + (len(wells) - 1) * s
    assert makespan_min(simulate(pad(stated, strategy))) == to_the_minute(expected)


@fixed
@given(st.integers(2, 4), stages, stage_min, stage_min, swap_min, st.booleans())
def test_zipper_that_swaps_while_wireline_works(wells: int, n: int, w: int, p: int, s: int, toe: bool) -> None:
    """Equal wells, one wireline unit."""
    expected = zipper_formula(wells, n, w, p, s, toe=toe)
    assert zipper_min(wells, n, w, p, s, toe=toe) == to_the_minute(expected)


@fixed
@given(st.integers(2, 4), stages, stage_min, stage_min, swap_min)
def test_zipper_that_swaps_once_the_next_well_is_ready(wells: int, n: int, w: int, p: int, s: int) -> None:
    """Equal wells, one wireline unit, no open toe: the first swap cannot overlap wireline."""
    expected = w + p + s + max(p, w) + (wells * n - 2) * max(p + s, w)
    assert zipper_min(wells, n, w, p, s, toe=False, when=WHEN_READY) == to_the_minute(expected)


@fixed
@given(stages, stage_min, stage_min, st.integers(1, 2), st.booleans())
def test_one_pair_at_once(n: int, w: int, p: int, lines: int, toe: bool) -> None:
    """Simultaneous fracturing of one pair: a single wireline unit needs twice the time for it."""
    runs = w * (2 // lines)
    assert zipper_min(2, n, w, p, 30, toe=toe, together=2, lines=lines) == to_the_minute(n * (runs + p) - runs * toe)


@fixed
@given(st.integers(2, 3), stages, stage_min, stage_min, swap_min, st.integers(1, 2), st.booleans())
def test_pairs_in_a_zipper(pairs: int, n: int, w: int, p: int, s: int, lines: int, toe: bool) -> None:
    """Pairs pumped in turn: the zipper formula with the wireline time of a pair."""
    expected = zipper_formula(pairs, n, w * (2 // lines), p, s, toe=toe)
    assert zipper_min(2 * pairs, n, w, p, s, toe=toe, together=2, lines=lines) == to_the_minute(expected)


@fixed
@given(st.integers(1, 4), stage_min, stage_min, swap_min)
def test_steady_rate(wells: int, w: int, p: int, s: int) -> None:
    """Once the rotation runs: one stage per max(P+S, W), or per W+P where there is but one well."""
    stated = [well(f"w{k}", 12, minutes(w), minutes(p), toe=False) for k in range(wells)]
    strategy = {"wells_in_rotation": wells, "swap": {"time": minutes(s)}}
    ends_h = [pumping.end_h for pumping in pumpings(simulate(pad(stated, strategy)))]
    every_h = (ends_h[-1] - ends_h[wells]) / (len(ends_h) - 1 - wells)
    assert every_h * 60 == pytest.approx(w + p if wells == 1 else max(p + s, w), rel=1e-9)
