"""Everything that a report is made of, before any of it is put into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from analysis.chains.chain_summary import WhereDaysGo
from analysis.comparing.verdict import Verdict
from analysis.forecasting.summary import Summary
from analysis.pricing.ledger import Ledger
from analysis.report.plan_money import PlanMoney
from analysis.runs.finished_run import FinishedRun
from sim.log import Log
from sim.scenario.scenario import Scenario


@dataclass(frozen=True)
class Played:
    """What was played for the report itself, under the luck of the run.

    `choices` sets the alternatives that a planner can choose against the plan, `what_if` those that change what nobody
    can choose, such as weather; `remarks` say why one of these is not there. `money` is what each plan costs, where
    the plan as stated has prices. `stopped` by Ctrl-C, some may be short.
    """

    asked: int = 0
    where: WhereDaysGo | None = None
    choices: Verdict | None = None
    what_if: Verdict | None = None
    money: Mapping[str, PlanMoney] = field(default_factory=dict)
    changes: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()
    stopped: bool = False


@dataclass(frozen=True)
class Content:
    """A run, what was made of it, the log of its representative replication, and what was played beside it."""

    run: FinishedRun
    summary: Summary
    ledger: Ledger
    log: Log
    played: Played

    @property
    def scenario(self) -> Scenario:
        """The plan that was played."""
        return self.run.forecast.scenario
