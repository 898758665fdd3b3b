"""What a selection says: the plan chosen, how surely, and what it cost; for the terminal and for others to read."""

from __future__ import annotations

from typing import Any

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.comparing.comparison_wording import amount_text, number_text, superlative, unit_of
from analysis.comparing.selection import FIRST
from analysis.comparing.selection_run import Race
from analysis.wording import in_words, percent, tell

MEANS = (
    "Differences are means over the replications that both plans have. Where a run stops when it looks decided they "
    "flatter the winner a little, so no intervals are given: run `padtempo compare` without --select for those."
)


def answer(race: Race) -> list[str]:
    """Sentences, most important first."""
    return [_outcome(race), _promise(race), _cost(race)]


def _outcome(race: Race) -> str:
    title, measure = f"{next(iter(race.plans.values())).title}, {race.rule.measure.name}", race.rule.measure
    selection, n = race.selection, len(race.values)
    if race.chosen is None:
        left = ", ".join(f"'{race.names[plan]}'" for plan in selection.left)
        end = "the run was stopped" if race.stopped else "the most that was asked for"
        return f"{title}: not decided after {n} replications, {end}; still in: {left}."
    level = f", level with {in_words(selection.level - 1)} other" if selection.level > 1 else ""
    return (
        f"{title}: '{race.chosen}' is chosen as the {superlative(measure)} of {in_words(len(race.plans))} plans"
        f"{level}, after {selection.decided_after} replications."
    )


def _promise(race: Race) -> str:
    rule = race.rule
    amount = amount_text(rule.measure, rule.indifference)
    promise = (
        f"The rule (Kim and Nelson 2001) chooses the best plan with at least {percent(rule.confidence)} confidence "
        f"whenever it leads all others by {amount} or more in the mean; "
        "of plans closer together than that it may choose any."
    )
    return promise if race.chosen is not None else f"{promise} Until it has, nothing is promised."


def _cost(race: Race) -> str:
    total = sum(race.played.values())
    cost = f"{total:,} replications were played, {race.saved:,} fewer than all plans to the end"
    if race.chosen is None:
        return f"{cost}."
    return (
        f"{cost}. A two-stage rule on independent runs (Rinott 1978) would have asked for "
        f"{race.without_common_luck:,}, going by the first {FIRST} of each plan."
    )


def show(race: Race, console: Console) -> None:
    """Print it all."""
    for sentence in answer(race):
        tell(console, sentence)
    console.print()
    console.print(_table(race))
    tell(console, MEANS)
    console.print()
    tell(console, SHORT, style="dim")


def _table(race: Race) -> Table:
    table = Table(title=f"The plans: {race.rule.measure.name}", title_justify="left", title_style="bold", box=None,
                  pad_edge=False, header_style="dim")  # fmt: skip
    best = _leader(race)
    for heading in ("plan", "replications", "dropped after", f"{unit_of(race.rule.measure)} worse than '{best}'"):
        table.add_column(heading, overflow="fold")
    for plan, name in enumerate(race.names):
        dropped = race.selection.dropped_after.get(plan)
        behind = "-" if name == best else number_text(race.rule.measure, race.behind(name, best))
        table.add_row(name, str(race.played[name]), "-" if dropped is None else str(dropped), behind)
    return table


def _leader(race: Race) -> str:
    """The plan chosen, or of those still in the one that leads so far."""
    if race.chosen is not None:
        return race.chosen
    left = [race.names[plan] for plan in race.selection.left]
    return min(left, key=lambda name: race.behind(name, left[0]))


def summary_of(race: Race) -> dict[str, Any]:
    """The selection as plain data; differences in the units of the measure, hours for dates."""
    selection, rule, best = race.selection, race.rule, _leader(race)
    return {
        "title": next(iter(race.plans.values())).title,
        "measure": rule.measure.name,
        "seed": race.seed,
        "answer": answer(race),
        "chosen": race.chosen,
        "still_in": [race.names[plan] for plan in selection.left],
        "confidence": rule.confidence,
        "indifference": rule.indifference,
        "decided_after": selection.decided_after,
        "replications_saved": race.saved,
        "replications_of_a_two_stage_rule_without_common_luck": race.without_common_luck,
        "plans": {
            name: {
                "replications": race.played[name],
                "dropped_after": selection.dropped_after.get(plan),
                "worse_than_the_best": race.behind(name, best),
            }
            for plan, name in enumerate(race.names)
        },
    }
