"""A plan that is not saved yet, or comes from somebody else: judged in the place of its file."""

from __future__ import annotations

from pathlib import Path

import pytest
from files import PAD

from sim.scenario import ScenarioError, load, read, stated

TABLE = "name,rig_release\nHeron 1,2027-02-10\nHeron 2,2027-02-18\nHeron 3,2027-02-26\nHeron 4,2027-03-01\n"


def with_table(name: str) -> str:
    """The pad with its wells in a table."""
    return PAD[: PAD.index("wells:\n")] + f"wells: {name}\n" + PAD[PAD.index("units:") :]


def test_text_stands_for_the_file(tmp_path: Path) -> None:
    """The file is not looked at; problems name it, and tables beside it are read."""
    file = tmp_path / "pad.yaml"
    (tmp_path / "wells.csv").write_text(TABLE, encoding="utf-8")
    text = with_table("wells.csv")
    assert [well.name for well in load(file, text=text).wells] == ["Heron 1", "Heron 2", "Heron 3", "Heron 4"]
    assert len(stated(read(file, text=text))["wells"]) == 4
    with pytest.raises(ScenarioError) as refused:
        load(file, text=text.replace("horizon: 240 day", "horizon: 240 dya"))
    assert str(refused.value).startswith(f"{file}:3: horizon:")


@pytest.mark.parametrize("name", ["../wells.csv", "inner/../../wells.csv", "{}/wells.csv"])
def test_a_confined_plan_reads_no_table_outside_its_folder(tmp_path: Path, name: str) -> None:
    """Nor under an alternative; one that may be trusted does."""
    (tmp_path / "plans" / "inner").mkdir(parents=True)
    (tmp_path / "wells.csv").write_text(TABLE, encoding="utf-8")
    file, text = tmp_path / "plans" / "pad.yaml", with_table(name.format(tmp_path))
    assert len(load(file, text=text).wells) == 4
    with pytest.raises(ScenarioError, match="outside the folder of the plan"):
        load(file, text=text, confined=True)


def test_a_confined_plan_reads_tables_beside_it(tmp_path: Path) -> None:
    """As any plan."""
    (tmp_path / "wells.csv").write_text(TABLE, encoding="utf-8")
    assert len(load(tmp_path / "pad.yaml", text=with_table("wells.csv"), confined=True).wells) == 4
