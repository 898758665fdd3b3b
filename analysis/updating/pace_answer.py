"""At what pace the rest is played, in a sentence."""

from __future__ import annotations

from pathlib import Path

from analysis.field.calibration import Calibrated, Calibration
from analysis.field.quantities import SPEED
from analysis.wording import in_words

LISTED = 4


def pace_sentence(shown: Calibration | None, patch: Path | None) -> str:
    """Of how many figures the log tells, and which are furthest from the plan; or whose pace it is instead."""
    if shown is None or not (shown.figures or shown.rates):
        return f"What is to come is played at the pace of {'the plan' if patch is None else patch}."
    known = len(shown.figures)
    of = known + len(shown.unseen)
    text = (
        f"What is to come is played at the pace of the log, as far as it tells: {known} of {of} durations and "
        f"{in_words(len(shown.rates))} trouble rates, the plan counting as {shown.prior_weight:g} observations of "
        "each; what that leaves open is drawn anew for each replication."
    )
    different = sorted((each for each in shown.figures if each.differs), key=_off, reverse=True)[:LISTED]
    if different:
        text += f" More than chance from the plan: {', '.join(_difference(each) for each in different)}."
    return text + " `calibrate` shows all; --as-planned keeps to the plan."


def _off(figure: Calibrated) -> float:
    return max(figure.ratio, 1 / figure.ratio)


def _difference(figure: Calibrated) -> str:
    change = 100 * (figure.ratio - 1)
    more, less = ("faster", "slower") if figure.quantity.kind == SPEED else ("longer", "shorter")
    return f"{figure.quantity.name} {abs(change):.0f} % {more if change > 0 else less}"
