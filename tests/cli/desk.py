"""A planner's desk: a small pad in a file, the command in this process or in one of its own, and what it printed."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner, Result

from analysis.cli import main

ROOT = Path(__file__).parents[2]
SCENARIOS = ROOT / "scenarios"
CONVENTION = "P90: 90 % chance done by"
ESCAPE = "\x1b"
REPLICATIONS = 8  # of the run that many tests look at

PAD = """\
title: Curlew Flat
start: 2027-03-01 06:00
horizon: 90 day
well_defaults:
  measured_depth: 15000 ft
  lateral_length: 5000 ft
  stages: 5
  stage_design: {fluid: 9000 bbl, proppant: 400 klb}
wells:
  - {name: Curlew 1}
  - {name: Curlew 2, rig_release: 2027-03-02}
units:
  preparation_crews: {hours: day shift}
  pumping_fleets: {name: Fleet A, arrives: 2027-03-05}
  wireline_units: {}
  milling_rigs: {}
  flowback_spreads: {duration: {triangular: [4 day, 5 day, 9 day]}}
water:
  sources: [{name: River, rate: 50 kbbl/day}]
  storage: {capacity: 40 kbbl}
strategy:
  wells_in_rotation: 2
alternatives:
  sequential: {strategy.wells_in_rotation: 1}
"""
PRICES = """\
prices:
  units:
    pumping_fleets: {day: 60 kUSD/day, standby_day: 40 kUSD/day}
    wireline_units: {day: 10 kUSD/day}
    milling_rigs: {day: 30 kUSD/day}
    flowback_spreads: {day: 5 kUSD/day}
    preparation_crews: {day: 6 kUSD/day}
  water: 0.5 USD/bbl
  proppant: 48 USD/ton
  oil: 60 USD/bbl
"""


def changed(*changes: tuple[str, str], text: str = PAD) -> str:
    """The pad with each first piece of text, which must stand in it once, replaced by the second."""
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the file"
        text = text.replace(old, new)
    return text


def file_of(folder: Path, text: str = PAD) -> str:
    """Path of a scenario file with this text."""
    file = folder / "pad.yaml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def padtempo(*arguments: str, columns: int | None = None) -> Result:
    """The command in this process, its output into a pipe; as wide as `columns` say, if they do."""
    width = {"COLUMNS": None if columns is None else str(columns)}
    return CliRunner(env=width).invoke(main, arguments)


def forecast(file: str, *options: str, replications: int = REPLICATIONS, columns: int | None = None) -> Result:
    """A short forecast in this process."""
    told = ("--replications", str(replications), "--workers", "1")
    return padtempo("forecast", file, *told, *options, columns=columns)


def command(*arguments: str) -> list[str]:
    """The command as a process of its own would be started; warnings are errors there too."""
    return [sys.executable, "-W", "error", "-m", "analysis.cli", *arguments]


def process(*arguments: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, its output into pipes."""
    return subprocess.run(command(*arguments), cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)


def blocks(printed: str) -> list[str]:
    """What was printed, piece by piece as blank lines part it."""
    return [block for block in re.split(r"\n\s*\n", printed) if block.strip()]


def block(printed: str, title: str) -> str:
    """The piece that begins with a title."""
    return next(each for each in blocks(printed) if each.lstrip("\n").startswith(title))


def flat(text: str) -> str:
    """Text as if it had never been broken into lines."""
    return " ".join(text.split())


def assert_readable(printed: str, columns: int) -> None:
    """Fits the screen, says every word in full, and holds nothing that only a terminal understands."""
    assert ESCAPE not in printed
    assert "…" not in printed
    assert max(len(line) for line in printed.splitlines()) <= columns


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, byte by byte."""
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}
