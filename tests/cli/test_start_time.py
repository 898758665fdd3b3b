"""The command line answers at once, because it imports nothing heavy before it has to."""

from __future__ import annotations

import subprocess
import sys

import pytest
from desk import ROOT

HEAVY = {
    "numpy", "pandas", "pydantic", "matplotlib", "scipy", "pint", "ruamel", "ruamel.yaml", "pyarrow", "rich", "simpy",
}  # fmt: skip
ASK = """
import sys
from analysis.cli import main
try:
    main({arguments!r})
except SystemExit as end:
    assert end.code == {code}, end.code
print("|" + " ".join(sys.modules))
"""


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["--help"], 0),
        (["check", "--help"], 0),
        (["compare", "--help"], 0),
        (["forecast", "--help"], 0),
        (["report", "--help"], 0),
        (["schema", "--help"], 0),
        (["example", "--help"], 0),
        (["--version"], 0),
        (["forecast", "pad.yaml", "--replications", "0"], 2),
        (["compare", "pad.yaml", "--select"], 2),
        (["nonsense"], 2),
    ],
)
def test_help_imports_nothing_heavy(arguments: list[str], code: int) -> None:
    """Neither help nor the refusal of a wrong option needs more than the reader of options."""
    asked = [sys.executable, "-c", ASK.format(arguments=arguments, code=code)]
    said = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True).stdout
    imported = set(said.rpartition("|")[2].split())
    assert "click" in imported
    assert not imported & HEAVY


def test_example_imports_no_models(tmp_path: object) -> None:
    """Writing the starter is copying a text."""
    asked = [sys.executable, "-c", ASK.format(arguments=["example", str(tmp_path)], code=0)]
    said = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True).stdout
    assert not set(said.rpartition("|")[2].split()) & HEAVY


@pytest.mark.parametrize(
    "module", ["sim.pad", "analysis.measures", "analysis.comparing.comparison", "sim.replications"]
)
def test_workers_import_little(module: str) -> None:
    """What a worker needs to play and measure brings no tables, pictures, statistics or readers of files."""
    asked = [sys.executable, "-c", f"import sys, {module}\nprint(' '.join(sys.modules))"]
    said = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True).stdout
    assert not set(said.split()) & {"pandas", "matplotlib", "scipy", "pyarrow", "rich", "click", "ruamel.yaml"}
