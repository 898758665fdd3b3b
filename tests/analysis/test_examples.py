"""The starter scenario: it works as it is written, and so does everything that it shows as an option."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from analysis import examples
from sim.audit import violations
from sim.pad import simulate
from sim.scenario import Scenario, load, read, stated

TEXT = examples.starter()
LINES = TEXT.splitlines()
OPTION = re.compile(r"( *)#(?! )(.+)")
KEY = re.compile(r"[\w -]+(?=:)")


class Option(NamedTuple):
    """Lines that are commented out, from the first to before the last."""

    first: int
    last: int

    @property
    def indent(self) -> int:
        return indent_of(LINES[self.first])

    @property
    def key(self) -> str | None:
        """What the option states, or None where it is another entry of a list."""
        key = KEY.match(LINES[self.first].lstrip(" #"))
        return key[0] if key and LINES[self.first].lstrip(" ")[1] != "-" else None

    @property
    def lines(self) -> list[str]:
        """The lines with their first '#' deleted, as the file says to do."""
        return [line.replace("#", "", 1) for line in LINES[self.first : self.last]]


def indent_of(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def options() -> list[Option]:
    """Every option of the file; what is indented below its first line belongs to it."""
    found: list[Option] = []
    number = 0
    while number < len(LINES):
        end = number + 1
        if OPTION.fullmatch(LINES[number]):
            while (
                end < len(LINES) and OPTION.fullmatch(LINES[end]) and indent_of(LINES[end]) > indent_of(LINES[number])
            ):
                end += 1
            found.append(Option(number, end))
        number = end
    return found


def replaced(option: Option) -> range:
    """Active lines above the option that state its key, or one it says it stands instead of, at the same place."""
    keys = {option.key, *re.findall(r"instead of (\w+)", LINES[option.first])}
    for number in range(option.first - 1, -1, -1):
        line = LINES[number]
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if indent_of(line) < option.indent:
            break
        if indent_of(line) == option.indent and line.strip().split(":")[0] in keys:
            below = (
                k for k in range(number + 1, len(LINES)) if LINES[k].strip() and not LINES[k].lstrip().startswith("#")
            )
            return range(number, next((k for k in below if indent_of(LINES[k]) <= option.indent), len(LINES)))
    return range(0)


def with_options(*chosen: Option) -> str:
    """The file with these options in use, and without what they replace."""
    lines = list(LINES)
    for option in chosen:
        for number in replaced(option):
            lines[number] = ""
        lines[option.first : option.last] = option.lines
    return "\n".join(lines)


def table_of_wells() -> str:
    """The table that the remarks about a spreadsheet show."""
    start = next(k for k, line in enumerate(LINES) if "saved as wells.csv" in line)
    rows = [line.removeprefix("#").strip() for line in LINES[start + 1 :]]
    return "\n".join(rows[: next(k for k, row in enumerate(rows) if row.startswith("wells:"))])


def loaded(text: str, folder: Path) -> Scenario:
    file = folder / "pad.yaml"
    file.write_text(text, encoding="utf-8")
    (folder / "wells.csv").write_text(table_of_wells(), encoding="utf-8")
    return load(file)


OPTIONS = options()


def name_of(option: Option) -> str:
    return f"line {option.first + 1}: {option.lines[0].strip()[:50]}"


def test_starter_loads_and_plays(tmp_path: Path) -> None:
    """As written, without a problem, and nothing in its log that cannot be."""
    scenario = loaded(TEXT, tmp_path)
    log = simulate(scenario)
    assert (len(scenario.wells), log.cut_short) == (2, 0)
    assert violations(log, scenario) == []


def test_starter_shows_what_it_promises() -> None:
    """Every section of a scenario, every kind of unit, every form of a duration, the other ways to state wells."""
    for word in (*Scenario.model_fields, *Scenario.model_fields["units"].annotation.model_fields):
        assert re.search(rf"^ *#?{word}:", TEXT, re.MULTILINE), word
    shown = "\n".join(line for option in OPTIONS for line in option.lines)
    for word in (
        "uniform",
        "pert",
        "lognormal: {mean",
        "lognormal: {P10",
        "gamma",
        "weibull",
        "exponential",
        "empirical",
    ):
        assert word in shown
    for word in ("injection_test", "wells.csv", "Fleet B", "07:00-19:00", "by_stage", "from_design", "one at a time"):
        assert word in shown
    assert len(OPTIONS) > 35


def test_starter_says_that_it_is_invented() -> None:
    """In its first line and in its title, which heads every answer."""
    assert "invented" in LINES[0]
    assert "invented" in read_title()
    assert max(len(line) for line in LINES) <= 120


def read_title() -> str:
    return next(line for line in LINES if line.startswith("title:"))


@pytest.mark.parametrize("option", OPTIONS, ids=name_of)
def test_each_option_works(option: Option, tmp_path: Path) -> None:
    """Deleting its '#', and what it replaces, gives another scenario that loads and plays."""
    scenario = loaded(with_options(option), tmp_path)
    changed = stated(read(tmp_path / "pad.yaml"))
    loaded(TEXT, tmp_path)
    assert changed != stated(read(tmp_path / "pad.yaml"))
    assert simulate(scenario).cut_short == 0


def test_options_work_together(tmp_path: Path) -> None:
    """All that replace nothing, the first of those that state the same."""
    chosen: dict[tuple[int, str | None], Option] = {}
    for option in OPTIONS:
        if not replaced(option):
            parent = max(k for k in range(option.first) if indent_of(LINES[k]) < option.indent or k == 0)
            chosen.setdefault((parent, option.key), option)
    assert len(chosen) > 15
    scenario = loaded(with_options(*chosen.values()), tmp_path)
    assert {"one at a time", "more water", "second wireline unit", "no troubles"} == set(scenario.alternatives)
    assert violations(simulate(scenario), scenario) == []


def test_starter_from_an_installed_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An installed package carries the file itself; a checkout has it beside the packages."""
    (tmp_path / "scenarios").mkdir()
    (tmp_path / "scenarios" / "starter.yaml").write_text("packed", encoding="utf-8")
    monkeypatch.setattr(examples, "files", lambda package: tmp_path)
    assert examples.starter() == "packed"
