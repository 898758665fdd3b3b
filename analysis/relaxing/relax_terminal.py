"""What would buy a week, on the terminal: the answer in sentences, then the limits by what lifting each gains."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.pricing.tariff import unpriced, would_use
from analysis.relaxing.relax_answer import gain_text, gained_text, relax_answer, week_text
from analysis.relaxing.savings import Saving, Savings
from analysis.statistics import MeanEstimate
from analysis.wording import CONVENTION, tell

NO_MEAN = "-"  # where the horizon leaves none
MINUS = "\N{MINUS SIGN}"
INTERVALS = "±, brackets: 95 % confidence interval of each line by itself."
SURE = (
    "More than chance: yes where, with all lines looked at together, the chance that any such yes is wrong is at most "
    "5 % (Holm)."
)
LEFT = (
    "Still gains: with the other lifted already. Less than alone where one makes up for the other, more where one had "
    "hidden the other."
)
PRICED = (
    "Cost: what the work costs more (+) or less (\N{MINUS SIGN}) at the stated prices, a unit that is added at the "
    "rates of its kind. What it costs to lift the limit itself, a larger pond, a faster line, fewer troubles, has no "
    "price here and is not in it. For each day gained: the quotient of the two, where days are surely gained "
    "(Fieller)."
)
SOLD = {"prices.oil", "prices.gas"}  # no part of what the work costs
COSTS = "A limit that is there to keep people or wells safe shows here what it costs, not that it may go."


def show_savings(savings: Savings, console: Console) -> None:
    """Print all of it."""
    for sentence in relax_answer(savings):
        tell(console, sentence)
    console.print()
    console.print(limits_table(savings))
    for sentence in (*_without_effect(savings), f"{_luck(savings)} {INTERVALS} {SURE}", *_priced(savings), CONVENTION):
        tell(console, sentence)
    if savings.pairs:
        console.print()
        console.print(pairs_table(savings))
        tell(console, LEFT)
    console.print()
    tell(console, f"{COSTS} {SHORT}", style="dim")


def limits_table(savings: Savings) -> Table:
    """The limits that make any difference, largest gain first."""
    table = _table(f"Days gained to {savings.goal.name}")
    money = ("cost, thousand USD", "for each day gained") if savings.priced else ()
    cut = ("unfinished",) if savings.cut else ()
    for heading in ("with", "days gained", "a week or more in", "more than chance", *cut, *money):
        table.add_column(heading, overflow="fold")
    for saving in savings.savings:
        if not saving.never_binds:
            cells = (saving.limit, gained_text(saving), week_text(saving.week), _verdict(saving))
            cut = (f"{saving.unfinished} of {saving.week.replications}",) if savings.cut else ()
            table.add_row(*cells, *cut, *(_money(saving) if savings.priced else ()))
    return table


def pairs_table(savings: Savings) -> Table:
    """The largest, lifted two at a time."""
    table = _table("Two at a time")
    for heading in ("with", "and with", "together", "the first still gains", "the second still gains"):
        table.add_column(heading, overflow="fold")
    for pair in savings.pairs:
        first = _left(savings, pair.one, pair.one_after_other)
        second = _left(savings, pair.other, pair.other_after_one)
        together = NO_MEAN if pair.together is None else gain_text(pair.together)
        table.add_row(pair.one, pair.other, together, first, second)
    return table


def _money(saving: Saving) -> tuple[str, str]:
    """Thousands of dollars more or less, and those for each day gained."""
    if saving.cost is None:
        return NO_MEAN, ""
    half = f" ± {(saving.cost.high - saving.cost.mean) / 1000:,.0f}" if saving.cost.high < inf else ""
    a_day = saving.a_day
    if a_day is None:
        return f"{_thousands(saving.cost.mean)}{half}", ""
    return (
        f"{_thousands(saving.cost.mean)}{half}",
        f"{_thousands(a_day.value)} [{_thousands(a_day.low)}, {_thousands(a_day.high)}]",
    )


def _thousands(usd: float) -> str:
    figures = f"{abs(usd) / 1000:,.0f}"
    return figures if figures == "0" else f"{'+' if usd > 0 else MINUS}{figures}"


def _left(savings: Savings, limit: str, days: MeanEstimate | None) -> str:
    return NO_MEAN if days is None else f"{gain_text(days)} (alone {gained_text(savings.of(limit))})"


def _luck(savings: Savings) -> str:
    replications = f"each of the {savings.played} replications"
    return f"Each limit is lifted alone, and {replications} meets the same luck with it as without."


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")


def _verdict(saving: Saving) -> str:
    if saving.adjusted_p is None:
        return NO_MEAN
    if not saving.is_sure:
        return "no"
    return "yes" if saving.gains else "yes, it is later"


def _priced(savings: Savings) -> list[str]:
    if not savings.priced:
        return []
    cut = f" {NO_MEAN}: the horizon cuts work short, and with it costs." if savings.cut else ""
    missing = unpriced(savings.scenario, would_use(savings.scenario))
    without = [path for path in missing if path.startswith("prices.") and path not in SOLD]
    told = f" Without a price, and so not in it: {', '.join(without)}." if without else ""
    return [PRICED + told + cut]


def _without_effect(savings: Savings) -> list[str]:
    idle = [saving.limit for saving in savings.savings if saving.never_binds]
    seen = " before the horizon" if savings.cut else ""
    told = [f"No difference in any replication{seen}: {', '.join(idle)}."] if idle else []
    return told + [f"Not played, for it would be no valid plan: {name} ({why})." for name, why in savings.refused]
