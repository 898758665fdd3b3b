"""Whatever stands in the file, the door opens or says why: never a traceback, never without a line."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.scenario import Scenario, ScenarioError, load, load_stated
from sim.scenario.document import plain
from sim.scenario.yaml_text import read_yaml
from tests.scenario.files import BASE, FULL, PAD

LONGEST_LINE = 1500
MANY = settings(
    max_examples=100, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)

Steps = tuple[str | int, ...]


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The valid pad with everything in it as plain data."""
    file = tmp_path_factory.mktemp("plain") / "pad.yaml"
    file.write_text(FULL)
    return plain(read_yaml(file)[0])


def opens_or_says_why(file: Path) -> None:
    """The one thing that holds for every file."""
    try:
        scenario = load(file)
    except ScenarioError as error:
        says_why(error, least_line=1)
    else:
        assert isinstance(scenario, Scenario)


def says_why(error: ScenarioError, least_line: int) -> None:
    assert error.problems
    for problem in error.problems:
        assert problem.file
        assert problem.line >= least_line
        assert str(problem).isprintable()
        assert len(str(problem)) < LONGEST_LINE
        assert "Input should" not in problem.message


def places(value: Any, steps: Steps = ()) -> list[Steps]:
    """Steps to everything below a value."""
    inside = (
        list(value.items()) if isinstance(value, dict) else list(enumerate(value)) if isinstance(value, list) else []
    )
    return [found for key, entry in inside for found in [(*steps, key), *places(entry, (*steps, key))]]


def as_json(value: Any) -> str:
    """The value in the part of YAML that is JSON, with numbers that JSON has not."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)}: {as_json(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_json(entry) for entry in value) + "]"
    return json.dumps(value).replace("NaN", ".nan").replace("Infinity", ".inf")


ODD_VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.sampled_from([1e308, -1, 0, 10**30, "x" * 5000, "", "a.b", "Heron 1", "gone.csv", ".", "from design"]),
    st.sampled_from(["1e999 h", "-3 h", "5 furlong", "1 h", "1 bbl", "1e-300 ft", "100000 ft"]),
    st.sampled_from(["2027-02-30", "9999-12-31", "\x1b[31m"]),
    st.sampled_from(["0 %", "100 %", "101 %", "1 psi", "9 MPa", "1 kW", "5 ppg", "pumps", "lightning", "wind > 9 m/s"]),
    st.text(max_size=20),
    st.recursive(st.integers() | st.text(max_size=5), lambda inner: st.lists(inner, max_size=3), max_leaves=8),
    st.dictionaries(
        st.sampled_from(["triangular", "lognormal", "by_stage", "from_design", "name", "mean", "count", "x"])
        | st.sampled_from(["strikes", "every", "chance", "spells", "stops", "table", "file", "limit", "misrun"]),
        st.one_of(st.none(), st.integers(), st.lists(st.sampled_from(["1 h", "2 h", 3]), max_size=3)),
        max_size=3,
    ),
)  # fmt: skip


@MANY
@given(raw=st.binary(max_size=300))
def test_random_bytes(tmp_path: Path, raw: bytes) -> None:
    """Not even a text."""
    file = tmp_path / "pad.yaml"
    file.write_bytes(raw)
    opens_or_says_why(file)


@MANY
@given(text=st.text(alphabet="ab:-{}[]\"'&*!|>%@#?, \n\t\\0", max_size=60))
def test_random_punctuation(tmp_path: Path, text: str) -> None:
    """All that YAML makes something of."""
    file = tmp_path / "pad.yaml"
    file.write_text(text)
    opens_or_says_why(file)


@MANY
@given(length=st.integers(0, len(FULL)))
def test_a_file_that_was_cut_off(tmp_path: Path, length: int) -> None:
    """Half a save."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL[:length])
    opens_or_says_why(file)


@MANY
@given(at=st.integers(0, len(FULL) - 1), sign=st.sampled_from(list("{}[]:,-'\"&*!|>%@#\t\n 0\\?")))
def test_a_slip_of_the_finger(tmp_path: Path, at: int, sign: str) -> None:
    """One sign in place of another."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL[:at] + sign + FULL[at + 1 :])
    opens_or_says_why(file)


def mutated(data: Any, at: int, value: object) -> Any:
    """A copy with something else in one of its places."""
    changed = deepcopy(data)
    *outer, last = places(changed)[at % len(places(changed))]
    inside = changed
    for step in outer:
        inside = inside[step]
    inside[last] = value
    return changed


@MANY
@given(changes=st.lists(st.tuples(st.integers(0, 10_000), ODD_VALUES), min_size=1, max_size=3))
def test_odd_values_anywhere(tmp_path: Path, data: Any, changes: list[tuple[int, object]]) -> None:
    """Wrong kinds, no numbers, huge numbers, long text, lists in lists, anywhere in a valid scenario."""
    for at, value in changes:
        data = mutated(data, at, value)
    file = tmp_path / "pad.yaml"
    file.write_text("".join(f"{key}: {as_json(value)}\n" for key, value in data.items()))
    opens_or_says_why(file)


@MANY
@given(at=st.integers(0, 10_000), value=ODD_VALUES)
def test_odd_plain_data(data: Any, at: int, value: object) -> None:
    """The same without a file."""
    try:
        assert isinstance(load_stated(mutated(data, at, value)), Scenario)
    except ScenarioError as error:
        says_why(error, least_line=0)


@MANY
@given(
    header=st.lists(st.sampled_from(["name", "stages", "measured_depth [ft]", "toe", "x", ""]), max_size=5),
    rows=st.lists(st.lists(st.text(alphabet='Ab1., "\n;ft', max_size=6), max_size=6), max_size=5),
    separator=st.sampled_from([",", ";", "\t"]),
)
def test_odd_tables(tmp_path: Path, header: list[str], rows: list[list[str]], separator: str) -> None:
    """Columns missing, unknown or twice; ragged rows; stray quotes; names twice."""
    wells = PAD[PAD.index("wells:\n") : PAD.index("units:")]
    file = tmp_path / "pad.yaml"
    file.write_text(PAD[: PAD.index("alternatives:")].replace(wells, "wells: heron.csv\n"))
    (tmp_path / "heron.csv").write_text("\n".join(separator.join(cells) for cells in [header, *rows]))
    opens_or_says_why(file)


@MANY
@given(
    header=st.lists(st.sampled_from(["date", "year", "wind [mph]", "rain [mm]", "lightning", "x", ""]), max_size=5),
    rows=st.lists(st.lists(st.sampled_from(["2027-03-01", "2027-03-02", "2015", "3", "-1", "", '"', "x"])), max_size=5),
    separator=st.sampled_from([",", ";", "\t"]),
)
def test_odd_weather(tmp_path: Path, header: list[str], rows: list[list[str]], separator: str) -> None:
    """Columns missing, unknown or twice; ragged rows; days out of order; a table far too short."""
    file = tmp_path / "pad.yaml"
    file.write_text(BASE + "weather: {table: weather.csv, stops: {crane: wind > 9 m/s or lightning}}\n")
    (tmp_path / "weather.csv").write_text("\n".join(separator.join(cells) for cells in [header, *rows]))
    opens_or_says_why(file)


@MANY
@given(raw=st.binary(max_size=200))
def test_random_bytes_for_a_table(tmp_path: Path, raw: bytes) -> None:
    """Not even a text, beside a good scenario."""
    file = tmp_path / "pad.yaml"
    file.write_text("start: 2027-03-01\nwells: heron.csv\n")
    (tmp_path / "heron.csv").write_bytes(raw)
    opens_or_says_why(file)
