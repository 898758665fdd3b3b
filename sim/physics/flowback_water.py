"""Water that comes back while a well flows back."""

from __future__ import annotations

from math import expm1, log1p

DAY_H = 24.0
Step = tuple[float, float, float]  # from hour, until hour, bbl/h


def returned_steps(rate_bbl_per_h: float, daily_decline: float, from_h: float, hours: float) -> list[Step]:
    """Steps of a day, each at the mean rate of an exponential decline over it, so that each has its exact volume.

    `daily_decline` is the share of the rate that is lost in a day, from above 0 to 1; at 1 nothing comes back.
    """
    found, at_h = [], 0.0
    while at_h < hours:
        end_h = min(at_h + DAY_H, hours)
        volume = returned_bbl(rate_bbl_per_h, daily_decline, end_h) - returned_bbl(rate_bbl_per_h, daily_decline, at_h)
        found.append((from_h + at_h, from_h + end_h, volume / (end_h - at_h)))
        at_h = end_h
    return found


def returned_bbl(rate_bbl_per_h: float, daily_decline: float, hours: float) -> float:
    """What has come back after so many hours."""
    if daily_decline >= 1:
        return 0.0
    per_h = -log1p(-daily_decline) / DAY_H
    return rate_bbl_per_h * -expm1(-per_h * hours) / per_h
