"""What a forecast leaves for planners: the workbook, the calendar, and every table as CSV."""

from __future__ import annotations

from analysis.forecasting.summary import Summary
from analysis.handing_on.calendar_file import calendar_bytes
from analysis.handing_on.sheets import STAGE_HEADINGS, Sheet, sheets
from analysis.handing_on.stage_schedule import stage_rows
from analysis.handing_on.workbook import workbook_bytes
from analysis.pricing.ledger import Ledger
from analysis.pricing.money_exports import files_of, table_csv
from sim.log import Log


def made_of(summary: Summary, ledger: Ledger, log: Log) -> dict[str, bytes | str]:
    """Files by name, from a forecast and the log of its representative replication."""
    scenario = summary.forecast.scenario
    tables = sheets(summary, ledger, stage_rows(scenario, log), log.replication)
    stages = next(sheet for sheet in tables if sheet.headings == STAGE_HEADINGS)
    return {
        "plan.xlsx": workbook_bytes(tables, scenario.title, scenario.start),
        "plan.ics": calendar_bytes(summary),
        "stages.csv": _csv(stages),
        **files_of(ledger, log.replication),
    }


def _csv(sheet: Sheet) -> str:
    return table_csv(sheet.headings, sheet.rows)
