"""What is odd about the rows of a stage log: what was left out and why, and what was only noted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.written import shown

SHOWN = 25  # findings listed one by one; beyond these a list tells its reader nothing new


class Finding(NamedTuple):
    """One oddity of a row of the sheet. `kind` is a short word to count it by; `value` is what stands in the cell."""

    row: int
    column: str
    message: str
    kind: str
    value: str | None = None
    left_out: bool = True

    def problem(self, file: str) -> Problem:
        """The same as a problem with a file."""
        what = "left out" if self.left_out else "noted"
        value = shown(self.value) if self.value else None
        return Problem(file, self.row, self.column, f"{self.message}; {what}", value)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """By row."""
    return tuple(sorted(findings, key=lambda finding: (finding.row, finding.column)))


def told(findings: tuple[Finding, ...], file: str) -> list[str]:
    """Lines for the terminal: those left out first, then those noted, and of very many only how many of each kind."""
    ordered = sorted(findings, key=lambda finding: (not finding.left_out, finding.row))
    lines = [str(finding.problem(file)) for finding in ordered[:SHOWN]]
    rest = Counter(finding.kind for finding in ordered[SHOWN:])
    if rest:
        lines.append("and " + ", ".join(f"{count:,} more of {kind}" for kind, count in rest.most_common()))
    return lines


def refuse_any(findings: tuple[Finding, ...], file: str) -> None:
    """Raises ScenarioError if there is any oddity at all."""
    if findings:
        raise ScenarioError(finding.problem(file) for finding in findings)
