"""What each replication of a plan costs, for studies that play many plans and need no more of their money.

A cost is linear in the amounts of the log, so what one of each amount costs is asked once of the lines of the ledger,
and a replication is a sum. Amounts are gathered in the worker that played it, which needs no prices for that.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from analysis.measures import AmountRow
from analysis.pricing.amounts import amounts
from sim.log import Log
from sim.scenario.scenario import Scenario

Kind = tuple[str, str, str]  # subject, what, reason
Amounts = dict[Kind, float]


def amounts_of(scenario: Scenario, log: Log) -> Amounts:
    """Every amount of one replication, over all months."""
    total: defaultdict[Kind, float] = defaultdict(float)
    for row in amounts(scenario, log):
        total[row.subject, row.what, row.reason] += row.amount
    return dict(total)


class PlanCosts:
    """The costs of one plan, whose scenario must state prices."""

    def __init__(self, scenario: Scenario) -> None:
        self._scenario = scenario
        self._of_one: dict[Kind, float] = {}

    def of(self, found: Mapping[Kind, float]) -> float:
        """What the work of one replication costs, in USD, as far as its amounts have prices."""
        new = [kind for kind in found if kind not in self._of_one]
        if new:
            self._of_one |= costs_of_one(self._scenario, new)
        return sum(self._of_one[kind] * amount for kind, amount in found.items())


def costs_of_one(scenario: Scenario, kinds: Iterable[Kind]) -> Amounts:
    """What one of each amount costs, in USD, fuel that it takes included."""
    import pandas as pd

    from analysis.pricing.cost_lines import cost_lines

    asked = list(kinds)
    ones = [AmountRow(number, "", *kind, 1.0) for number, kind in enumerate(asked)]  # each a replication of its own
    lines = cost_lines(scenario, pd.DataFrame(ones, columns=list(AmountRow._fields)))
    costs = lines.groupby("replication")["cost"].sum()
    return {kind: float(costs.get(number, 0.0)) for number, kind in enumerate(asked)}
