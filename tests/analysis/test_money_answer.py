"""Sums and volumes in words: three figures, whatever their size."""

from __future__ import annotations

import pytest

from analysis.pricing.money_answer import barrels, usd


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (0, "0 USD"),
        (0.5, "0.50 USD"),
        (7.25, "7.25 USD"),
        (99.96, "100 USD"),
        (999.6, "1,000 USD"),
        (54_849.0, "54,800 USD"),
        (999_400.0, "999,000 USD"),
        (999_600.0, "1.00 million USD"),
        (16_150_900.0, "16.2 million USD"),
        (-2_345_678.0, "-2.35 million USD"),
        (143_553_728.0, "144 million USD"),
    ],
)
def test_sums_in_words(amount: float, words: str) -> None:
    """Rounded, never cut; thousands are parted by commas."""
    assert usd(amount) == words
    assert barrels(amount) == words.replace("USD", "bbl")
