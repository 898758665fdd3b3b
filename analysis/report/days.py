"""Where the days to the last well go."""

from __future__ import annotations

from collections.abc import Mapping

from analysis.chains.chain_answer import chain_answer
from analysis.chains.chain_terminal import CHAIN, CONVENTION, INTERVALS, ON_CHAIN, TOO_FEW, kinds_table, units_table
from analysis.report.content import Content
from analysis.report.parts import Part, Picture, Said, Section, from_terminal

SHOWS = (
    "The bar is the mean number of days from the start to the last well on production; each part is what so many of "
    "them went to, first what the last well waited for, then what stood in its way."
)


def where_days_go(content: Content, pictures: Mapping[str, str]) -> Section:
    """The chain, played for the report."""
    where = content.played.where
    title = "Where the days go"
    if where is None:
        return Section("days", title, (Said(("Not played: the report was stopped before.",)),))
    same = "the very replications of the run" if where.played >= content.run.forecast.replications else "under its luck"
    counted = f"Played for this report: {where.played} replications, {same}. {CHAIN}"
    parts: list[Part] = [Said((*chain_answer(where), counted))]
    if where.days is not None:
        parts += [
            Picture(SHOWS, pictures["where_the_days_go"], "Days to the last well by what they are spent on"),
            from_terminal(kinds_table(where, where.days), f"{CONVENTION} {INTERVALS}{TOO_FEW} {ON_CHAIN}"),
            from_terminal(units_table(where, where.days), ON_CHAIN),
        ]
    return Section("days", title, tuple(parts))
