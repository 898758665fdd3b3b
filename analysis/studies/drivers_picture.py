"""The picture of what drives a date."""

from __future__ import annotations

from pathlib import Path

from analysis.figures import theme
from analysis.figures.tornado import Bar, tornado
from analysis.studies.drivers import Drivers
from analysis.studies.drivers_answer import in_short, ranked, share_of, total_of
from analysis.wording import date_text, in_two_lines


def draw(found: Drivers, folder: Path) -> None:
    """Draw it into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    low_h, high_h = found.luck_span
    shares, dates = found.shares, [date_text(found.scenario, hours) for hours in (low_h, high_h)]
    by_luck = "" if shares is None else share_of(*shares.luck)
    axes = tornado(
        [_bar(found, number) for number in ranked(found)],
        found.middle.mean,
        found.scenario.start,
        title=f"{found.scenario.title}: what moves {found.milestone}",
        remarks_name="share of variance,\nwith all it works with",
        luck=Bar("luck", low_h, high_h, dates[0], dates[1], by_luck),
        notes=[
            "Mean date with one input at its 10 % and its 90 % quantile and all others at their middle (upright line).",
            "Luck: with all inputs at their middle; no better data could remove it. Brackets: 95 % interval.",
        ],
    )
    theme.save(theme.settle(axes), folder / "tornado")


def _bar(found: Drivers, number: int) -> Bar:
    swing = found.swings[number]
    remark = "held"
    if found.shares is not None and number in found.kept:
        k = found.kept.index(number)
        remark = total_of(found.shares, k)
    low, high = (in_short(value) for value in swing.values)
    return Bar(in_two_lines(found.inputs[number].path), swing.low.mean, swing.high.mean, low, high, remark)
