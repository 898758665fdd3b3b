"""How much water is missing before a stage may start, by the rule of the scenario."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

Shortage = Callable[[float, float, float, float, float], float]


class StartRule(NamedTuple):
    """What is missing, in bbl, of `(volume, rate, level, promised, inflow)`, and whether the stock can run dry.

    `promised` is what the draws under way still need. While nothing starts, a shortage must fall just as fast as
    `promised - level` does: that lets the stock say in advance when it will be gone.
    """

    missing: Shortage
    never_runs_dry: bool


def full_stage_on_hand(volume: float, rate: float, level: float, promised: float, inflow: float) -> float:
    """All of the stage must be in the tank, beyond what is promised."""
    return volume + promised - level


def enough_to_finish(volume: float, rate: float, level: float, promised: float, inflow: float) -> float:
    """What is in the tank and what flows in meanwhile must cover the stage and what is promised."""
    return volume + promised - level - inflow * volume / rate


def as_it_comes(volume: float, rate: float, level: float, promised: float, inflow: float) -> float:
    """Start at once; pumping slows down to what flows in when the tank is empty."""
    return 0.0


RULES = {
    "full stage on hand": StartRule(full_stage_on_hand, never_runs_dry=True),
    "enough to finish": StartRule(enough_to_finish, never_runs_dry=False),
    "as it comes": StartRule(as_it_comes, never_runs_dry=False),
}
