"""What a run says of itself: manifest, summary, versions; equal runs are equal directories."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from analysis.runs.run_directory import (
    FORMAT,
    RunDirectory,
    create,
    read_manifest,
    scenario_hash,
    write_manifest,
    write_part,
    write_summary,
)
from sim.versions import versions
from tests.analysis.run_rows import AWKWARD_HOURS, files_below, unit_rows


@pytest.fixture
def run(tmp_path: Path) -> RunDirectory:
    return create(tmp_path / "run", overwrite=False)


def test_manifest_keeps_order_and_content(run: RunDirectory) -> None:
    """The manifest comes back as written, in the caller's order, and names no time of day."""
    manifest = {
        "made_by": "padtempo",
        "format": FORMAT,
        "scenario": {"pad": "Rincón 5", "wells": ["H-2", "H-1"], "rate_bbl_per_h": 0.1 + 0.2},
        "seed": np.int64(5),
        "done": np.bool_(True),
        "versions": versions(),
    }
    write_manifest(run, manifest)
    found = read_manifest(run.path)
    assert found == manifest
    assert list(found) == list(manifest)
    assert list(found["scenario"]) == ["pad", "wells", "rate_bbl_per_h"]


def test_manifest_must_say_whose_it_is(run: RunDirectory) -> None:
    """A manifest by which the directory would not be known as ours is refused."""
    with pytest.raises(ValueError, match="made_by is None: expected 'padtempo'"):
        write_manifest(run, {"seed": 1})
    assert read_manifest(run.path)["made_by"] == "padtempo"


def test_infinity_is_written_in_words(run: RunDirectory) -> None:
    """JSON readers elsewhere choke on Infinity, so it is spelt out; NaN is refused before anything is written."""
    write_summary(run, {"p90_h": math.inf, "bounds_h": (-math.inf, np.float64("inf")), "p50_h": np.float64(1.5)})
    text = (run.path / "summary.json").read_text(encoding="utf-8")
    strict = json.loads(text, parse_constant=pytest.fail)
    assert strict == {
        "p90_h": "beyond horizon",
        "bounds_h": ["no lower bound", "beyond horizon"],
        "p50_h": 1.5,
    }
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_summary(run, {"p90_h": math.nan})
    assert (run.path / "summary.json").read_text(encoding="utf-8") == text


def test_scenario_hash_is_the_digest_of_canonical_json() -> None:
    """SHA-256 of the sorted, unspaced JSON: the value was found with the sha256sum command."""
    assert scenario_hash({"b": [1, 2.5], "a": "x"}) == (
        "66efddae6a97500318e4c6cdc4bc04149f340a165a7ef2d830393048b67b7a31"
    )


def test_scenario_hash_sees_values_not_key_order(run: RunDirectory) -> None:
    """Order of keys does not matter, order of wells and every value do, and the manifest keeps the hash."""
    scenario = {"wells": ["H-1", "H-2"], "rate": {"low": 0.1, "high": math.inf}}
    found = scenario_hash(scenario)
    assert scenario_hash({"rate": {"high": math.inf, "low": 0.1}, "wells": ["H-1", "H-2"]}) == found
    assert scenario_hash({**scenario, "wells": ["H-2", "H-1"]}) != found
    assert scenario_hash({**scenario, "rate": {"low": math.nextafter(0.1, 1), "high": math.inf}}) != found
    write_manifest(run, {"made_by": "padtempo", "scenario": scenario})
    assert scenario_hash(read_manifest(run.path)["scenario"]) == found


def test_versions_are_those_in_use() -> None:
    """The versions recorded are those of the modules that are imported."""
    found = versions()
    assert list(found) == ["padtempo", "python", "numpy", "simpy"]
    assert found["numpy"] == np.__version__
    assert found["python"] == sys.version.split()[0].rstrip("+")


def test_two_equal_runs_are_equal_directories(tmp_path: Path) -> None:
    """Nothing in a run's files depends on when or where it was made."""
    contents = []
    for name in ("one", "two"):
        run = create(tmp_path / name, overwrite=False)
        write_part(run, "units", 0, unit_rows(0, AWKWARD_HOURS))
        write_manifest(run, {"made_by": "padtempo", "versions": versions()})
        write_summary(run, {"p90_h": 1.0})
        contents.append({each: (run.path / each).read_bytes() for each in files_below(run.path)})
    assert len(contents[0]) == 3
    assert contents[0] == contents[1]


def test_importing_the_module_is_cheap() -> None:
    """Refusing a directory loads neither pandas nor pyarrow nor scipy."""
    command = (
        "import sys, analysis.runs.run_directory as r; r.refuse_if_unusable('never-made', False);"
        "print({'scipy', 'pandas', 'pyarrow'} & set(sys.modules))"
    )
    shown = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "set()"
