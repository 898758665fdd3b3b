"""`padtempo schema` and `padtempo example`: files to begin with, never written over what is there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from desk import contents, flat, forecast, padtempo, process

from analysis.examples import starter
from sim.scenario.fields import AsWritten


def test_schema_is_json_and_covers_every_section() -> None:
    """Printed alone, so that it can be redirected into a file."""
    done = process("schema")
    assert (done.returncode, done.stderr) == (0, "")
    schema = json.loads(done.stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert set(schema["properties"]) == set(AsWritten.model_fields)


def test_schema_into_a_file(tmp_path: Path) -> None:
    """The same text, and a word on where it is."""
    file = tmp_path / "new" / "pad.schema.json"
    done = padtempo("schema", "--out", str(file))
    assert (done.exit_code, done.stdout) == (0, f"Wrote {file}\n")
    assert file.read_text(encoding="utf-8") == padtempo("schema").stdout


def test_example_is_the_starter(tmp_path: Path) -> None:
    """The annotated file as it ships, in a folder made for it, and what to do next."""
    file = tmp_path / "deep" / "down" / "pad.yaml"
    done = padtempo("example", str(file.parent))
    assert done.exit_code == 0
    assert done.stdout == f"Wrote {file}\nNext: padtempo check {file}\n"
    assert file.read_text(encoding="utf-8") == starter()


def test_example_can_be_checked_and_run(tmp_path: Path) -> None:
    """The first three commands of a planner who has never seen the tool."""
    padtempo("example", str(tmp_path))
    file = str(tmp_path / "pad.yaml")
    checked, played = padtempo("check", file), forecast(file)
    assert (checked.exit_code, checked.stderr) == (0, "")
    assert (played.exit_code, played.stderr) == (0, "")
    assert "both wells by" in flat(played.stdout)


@pytest.mark.parametrize(("command", "name"), [(["example"], "pad.yaml"), (["schema", "--out"], "schema.json")])
def test_files_are_not_written_over(command: list[str], name: str, tmp_path: Path) -> None:
    """What is there stays as it was; the refusal names it."""
    (tmp_path / name).write_text("mine", encoding="utf-8")
    where = tmp_path if command == ["example"] else tmp_path / name
    done = padtempo(*command, str(where))
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == f"{tmp_path / name}: exists already; choose another place\n"
    assert contents(tmp_path) == {name: b"mine"}


@pytest.mark.parametrize("below", ["file", "file/further"])
def test_file_in_the_way_of_a_folder(below: str, tmp_path: Path) -> None:
    """It is named, and nothing is written."""
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    done = padtempo("example", str(tmp_path / below))
    assert done.exit_code == 2
    assert re.fullmatch(rf"{re.escape(str(tmp_path))}/file\S*: .*\n", done.stderr)
    assert contents(tmp_path) == {"file": b"mine"}
