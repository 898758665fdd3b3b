"""Which plans are compared: the scenario as stated, and all or some of its named alternatives."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

from analysis.asked import NotUnderstoodError, split_names
from sim.scenario import load, load_stated, read, stated
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario
from sim.scenario.written import shortened, shown

BASE = "base plan"


class Stated(NamedTuple):
    """Plans by name, the base plan first, and the scenario as plain data."""

    plans: dict[str, Scenario]
    scenario: dict[str, Any]


def plans_of(file: Path, named: str | None) -> Stated:
    """The base plan and the alternatives in `named`, a list with commas; all that are stated where it is None.

    Raises ScenarioError with all that is wrong with the file, or NotUnderstoodError with every name that is unknown.
    """
    base = load(file)
    plain = stated(read(file))
    names = _named(file, list(base.alternatives), named)
    return Stated({_base_name(names): base} | {name: load_stated(plain, name) for name in names}, plain)


def _named(file: Path, known: list[str], named: str | None) -> list[str]:
    if not known:
        raise NotUnderstoodError([f"{file}: states no alternatives; expected at least one to compare the plan with"])
    names = known if named is None else split_names(named, known)
    if BASE in names and BASE not in known:
        names = [name for name in names if name != BASE]  # it is always among them
    if not names:
        problem = f"--alternatives: names nothing to compare the plan with (got {shown(named)})"
        raise NotUnderstoodError([problem, _known(known)])
    _refuse_unknown(names, known)
    return names


def _refuse_unknown(names: list[str], known: list[str]) -> None:
    unknown = [
        f"--alternatives: no such alternative{did_you_mean(name, known)} (got {shown(name)})"
        for name in names
        if name not in known
    ]
    if unknown:
        raise NotUnderstoodError([*unknown, _known(known)])


def _known(alternatives: list[str]) -> str:
    quoted = ", ".join(f"'{shortened(each)}'" for each in alternatives)
    return f"known alternatives: {quoted}"


def _base_name(names: list[str]) -> str:
    """What the plan as stated is called, even where an alternative has taken the usual word for it."""
    name = BASE
    while name in names:
        name = f"{name} as stated"
    return name
