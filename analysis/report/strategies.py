"""The plan's alternatives beside the plan, all under the same luck."""

from __future__ import annotations

from collections.abc import Mapping

from analysis.comparing.comparison_answer import answer
from analysis.comparing.comparison_tables import below_pairs, below_plans, pair_rows, plan_rows
from analysis.comparing.comparison_wording import unit_of
from analysis.comparing.verdict import Verdict
from analysis.report.content import Content
from analysis.report.parts import Cell, Part, Picture, Row, Said, Section, Table, from_rows
from analysis.report.plan_costs_told import cost_table

SHOWS = (
    "Above, by which date every well is on production, with what chance, under each plan; below, by how many days each "
    "alternative is earlier or later than the plan when both meet the same luck."
)
WHAT_IF = (
    "What if the world were otherwise? These alternatives change what nobody can choose, such as troubles or weather, "
    "so none of them is a recommendation."
)


def strategies(content: Content, pictures: Mapping[str, str]) -> Section:
    """Comparison of all choices, then what would be under another luck."""
    played = content.played
    parts: list[Part] = [Said(played.remarks)] if played.remarks else []
    for verdict in (played.choices, played.what_if):
        if verdict is not None:
            parts += _verdict(verdict, "" if verdict is played.choices else WHAT_IF, pictures.get("comparison", ""))
            costs = cost_table(verdict, played.money)
            parts += [costs] if costs is not None else []
    if played.changes:
        parts.append(_changes(played.changes))
    return Section("strategies", "Which strategy", tuple(parts))


def _verdict(verdict: Verdict, before: str, picture: str) -> list[Part]:
    """What is said, the picture of the choices, the plans, and every pair."""
    n = verdict.comparison.replications
    counted = f"Played for this report: {n} replications of each plan, under the luck of the run's own."
    of = verdict.measure.name
    pairs = f"Pairs under the same luck: A less B, {unit_of(verdict.measure)}"
    found: list[Part] = [Said((*((before,) if before else ()), *answer(verdict), counted))]
    if picture and not before:
        found.append(Picture(SHOWS, picture, "Chance done by a date under each plan, and paired differences"))
    found.append(from_rows(f"The plans: {of}", plan_rows(verdict), below_plans(verdict)))
    return [*found, from_rows(pairs, pair_rows(verdict), below_pairs(verdict))]


def _changes(changes: Mapping[str, str]) -> Table:
    rows = tuple(Row((Cell(name), Cell(said))) for name, said in changes.items())
    return Table("What each alternative changes", ("alternative", "change of the plan"), rows)
