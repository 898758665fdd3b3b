"""Screening and variance shares against published functions, and the share of luck against a known one."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.studies.sensitivity import Array, Numbers, luck_share, screening, shares_rows, variance_shares

# Saltelli's g-function with a = 0, 1, 4.5, 9, 99 x 4: first and total shares by its closed form (Saltelli and Sobol'
# 1995, from memory), which SALib's own analytic test function confirms.
G_A = np.array([0, 1, 4.5, 9, 99, 99, 99, 99])
G_FIRST = [0.716192, 0.179048, 0.0236758, 0.00716192]
G_TOTAL = [0.787144, 0.242198, 0.0343169, 0.0104604]


def ishigami(u: Array, _: Numbers) -> Array:
    """Ishigami and Homma 1990 (from memory), a = 7, b = 0.1."""
    x = np.pi * (2 * u - 1)
    value: Array = np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])
    return value


def g_function(u: Array, _: Numbers) -> Array:
    value: Array = np.prod((np.abs(4 * u - 2) + G_A) / (1 + G_A), axis=1)
    return value


def noise(luck: Numbers) -> Array:
    """A standard normal number for each number of luck, always the same one."""
    known = {int(number): np.random.default_rng([5, int(number)]).normal() for number in set(luck.tolist())}
    return np.array([known[int(number)] for number in luck])


def test_ishigami_shares_are_the_published_ones() -> None:
    """Variance 13.844588, first .313905 .442411 0, total .557589 .442411 .243684; no luck in it."""
    found = variance_shares(3, 2**11, 1, ishigami)
    assert found.first == pytest.approx([0.313905, 0.442411, 0.0], abs=0.02)
    assert found.total == pytest.approx([0.557589, 0.442411, 0.243684], abs=0.02)
    assert found.variance == pytest.approx(13.844588, rel=0.01)
    assert found.luck == (0.0, 0.0, 0.0)
    for share, half, exact in zip(found.first, found.first_half_width, [0.313905, 0.442411, 0.0], strict=True):
        assert abs(share - exact) <= half


def test_g_function_shares_are_the_closed_form() -> None:
    """Eight inputs, of which four count for next to nothing."""
    found = variance_shares(8, 2**10, 1, g_function)
    assert found.first[:4] == pytest.approx(G_FIRST, abs=0.015)
    assert found.total[:4] == pytest.approx(G_TOTAL, abs=0.015)
    assert np.all(np.abs(found.total[4:]) < 1e-3)


@pytest.mark.parametrize("sd", [0.5, 2.0])
def test_luck_makes_its_known_share(sd: float) -> None:
    """Y = 3 X1 + 2 X2 + sd Z with X of unit variance: shares 9, 4 and sd² of their sum; intervals hold the truth."""
    found = variance_shares(2, 2**10, 2, lambda u, luck: np.sqrt(12) * (3 * u[:, 0] + 2 * u[:, 1]) + sd * noise(luck))
    whole = 9 + 4 + sd**2
    share, low, high = found.luck
    assert low <= sd**2 / whole <= high
    assert share == pytest.approx(sd**2 / whole, abs=0.03)
    for k, part in enumerate((9, 4)):
        assert abs(found.first[k] - part / whole) <= 1.7 * found.first_half_width[k]  # of 95 %, at about 1 in 1000
        assert abs(found.total[k] - part / whole) <= 1.7 * found.total_half_width[k]


def test_luck_that_works_with_an_input_counts_for_both() -> None:
    """Y = (1 + X) Z with X and Z of unit variance: E Var[Y | X] is all of it, yet X interacts with 1/2 of it."""
    found = variance_shares(1, 2**11, 3, lambda u, luck: (1 + np.sqrt(12) * (u[:, 0] - 0.5)) * noise(luck))
    assert found.luck[0] > 0.95
    assert found.total[0] == pytest.approx(0.5, abs=0.1)
    assert found.first[0] == pytest.approx(0.0, abs=0.1)


def test_rows_that_differ_in_an_input_share_their_luck() -> None:
    """As many plays as said; each block has two lucks, the second for two of its rows."""
    seen: list[Numbers] = []

    def play(u: Array, luck: Numbers) -> Array:
        seen.append(luck)
        return u[:, 0]

    variance_shares(3, 64, 0, play)
    assert seen[0].shape == (shares_rows(3, 64),)
    for number, block in enumerate(seen[0].reshape(64, 6)):
        assert block.tolist() == [2 * number] * 4 + [2 * number + 1] * 2


@pytest.mark.parametrize("share", [0.0, 0.25, 1.0])
def test_luck_share_is_the_nested_analysis_of_variance(share: float) -> None:
    """Pairs with a known variance between and within; the share never leaves 0 to 1."""
    generator = np.random.default_rng(11)
    between = generator.normal(0, np.sqrt(1 - share), (4000, 1))
    pairs = between + generator.normal(0, np.sqrt(share), (4000, 2)) if share else np.repeat(between, 2, axis=1)
    found, low, high = luck_share(pairs, np.random.default_rng(1))
    assert found == pytest.approx(share, abs=0.03)
    assert 0.0 <= low <= found <= high <= 1.0


def test_screening_of_a_linear_function_is_exact() -> None:
    """Morris 1991: effects of a linear function are its slopes, whatever the path, so their spread is nothing.

    A step here is from the 12.5 % to the 87.5 % quantile, 0.75 of the range. Luck common to a path drops out.
    """
    found = screening(4, 6, 9, lambda u, luck: 3 * u[:, 0] - 8 * u[:, 1] + 0.5 * u[:, 2] + 40 * noise(luck))
    assert found.size == pytest.approx([2.25, 6.0, 0.375, 0.0], abs=1e-9)
    assert found.spread == pytest.approx([0.0] * 4, abs=1e-9)


def test_screening_shows_interplay_by_the_spread() -> None:
    """Of X1 X2 the effect of each depends on the other; effects of either sign do not cancel."""
    found = screening(3, 40, 9, lambda u, _: (u[:, 0] - 0.5) * (u[:, 1] - 0.5) + u[:, 2])
    assert found.spread[0] > 0.1
    assert found.spread[1] > 0.1
    assert found.spread[2] == pytest.approx(0.0, abs=1e-9)
    assert found.size[0] > 0.1


def test_an_output_that_never_changes_has_no_shares() -> None:
    """No division by nothing."""
    found = variance_shares(2, 32, 0, lambda u, _: np.full(len(u), 7.0))
    assert found.variance == 0.0
    assert found.luck == (0.0, 0.0, 0.0)


def test_seed_zero_is_a_seed() -> None:
    """Equal seeds give equal intervals, nought included; the library takes nought for none."""
    one, two = (variance_shares(2, 64, 0, lambda u, _: u[:, 0] + u[:, 1] ** 2) for _ in range(2))
    assert np.array_equal(one.first_half_width, two.first_half_width)
    assert one.luck == two.luck
