"""What is wrong with a scenario, said so that its writer knows which line to change, and to what."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import NamedTuple

from sim.scenario.written import shortened

SHOWN = 200  # beyond this many, a list of problems tells its reader nothing new


class Problem(NamedTuple):
    """One thing to change. `line` 0: no line in particular; `value` is what stands there now, as written."""

    file: str
    line: int
    where: str
    message: str
    value: str | None = None

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        got = "" if self.value is None else f" (got {self.value})"
        return ": ".join(part for part in (place, self.where, self.message) if part) + got


class ScenarioError(Exception):
    """A scenario that cannot be used, with everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(dict.fromkeys(problems), key=lambda p: (p.file, p.line, p.where)))
        super().__init__(self.problems)

    def __str__(self) -> str:
        more = len(self.problems) - SHOWN
        lines = [str(problem) for problem in self.problems[:SHOWN]]
        return "\n".join(lines + [f"and {more} more"] * (more > 0))


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """`; did you mean 'stages'` or nothing, by likeness, blind to capitals and to spaces for underscores."""
    spellings = {_folded(name): name for name in known}
    close = get_close_matches(_folded(str(word)), spellings, n=1)
    return f"; did you mean '{shortened(spellings[close[0]])}'" if close else ""


def _folded(word: str) -> str:
    return word[:80].casefold().replace(" ", "_")
