"""Wells from a table: what a spreadsheet saves, and what can be wrong with it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from sim.scenario import Place, load, load_stated, read, set_path, stated, validate
from sim.scenario.part import Part
from sim.scenario.shapes import Pert
from sim.scenario.wells import FlowbackWater, InjectionTest, Preparation, Pressure, Production, StageDesign, Toe, Well
from tests.scenario.files import PAD, said

WELLS = PAD[PAD.index("wells:\n") : PAD.index("units:")]
BY_TABLE = (
    PAD[: PAD.index("alternatives:")]
    .replace(WELLS, "wells: heron.csv\n")
    .replace("  order: [Heron 2, Heron 1, Heron 3, Heron 4]\n", "")
)
TABLE = """\
name,rig_release,measured_depth [ft],stages,toe,stage_design.fluid [kbbl],stage_design.pump_time [h],proppant
Heron 1,2027-02-10,20500,40,toe sleeve,9.5,,
"Heron 2",,20600,,,,2.5,
Heron 3,,6250 m,,,,from design,

,,,,,,,
007,,,,tubing-conveyed perforating,,,
""".replace(",proppant", ",stage_design.proppant").replace(",\n", ",0\n", 1)  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a scenario whose wells are in a table."""
    (tmp_path / "pad.yaml").write_text(BY_TABLE)
    return tmp_path


def written(folder: Path, table: str | bytes) -> Path:
    (folder / "heron.csv").write_bytes(table if isinstance(table, bytes) else table.encode())
    return folder / "pad.yaml"


def refused(folder: Path, table: str | bytes) -> list[str]:
    written(folder, table)
    return said(folder, BY_TABLE)


def test_a_row_is_a_well(folder: Path) -> None:
    """Units stand in the header or in the cell; a blank cell falls to what wells share; names stay as written."""
    wells = load(written(folder, TABLE)).wells
    assert [well.name for well in wells] == ["Heron 1", "Heron 2", "Heron 3", "007"]
    assert [well.measured_depth for well in wells] == pytest.approx([20500, 20600, 6250 / 0.3048, 20500])
    assert [well.stages for well in wells] == [40, 50, 50, 50]
    assert [well.stage_design.fluid for well in wells] == [9500] * 4
    assert [well.stage_design.proppant for well in wells] == [0, 440_000, 440_000, 440_000]
    assert wells[0].rig_release == datetime(2027, 2, 10)
    assert wells[1].stage_design.pump_time == 2.5
    assert wells[0].stage_design.pump_time.from_design.factor == Pert(0.95, 1.0, 1.5)
    assert [well.toe.method for well in wells] == ["toe sleeve", "wet shoe", "wet shoe", "tubing-conveyed perforating"]


@pytest.mark.parametrize("separator", [";", "\t"])
def test_spreadsheets_separate_by_other_signs_too(folder: Path, separator: str) -> None:
    """A mark of the encoding in front, Windows line ends, semicolons or tabs: the same wells."""
    plain = load(written(folder, TABLE))
    other = "\ufeff" + TABLE.replace(",", separator).replace("\n", "\r\n")
    assert load(written(folder, other)) == plain


def test_a_table_is_written_out_with_the_scenario(folder: Path) -> None:
    """What a run writes down needs the table no more."""
    file = written(folder, TABLE)
    scenario, data = load(file), stated(read(file))
    (folder / "heron.csv").unlink()
    assert load_stated(data) == scenario


def test_wells_of_a_table_can_be_patched(folder: Path) -> None:
    """Rows go by their names like any entries."""
    document = set_path(read(written(folder, TABLE)), "wells.Heron 2.stages", 30, Place("sweep", 0))
    assert [well.stages for well in validate(document).wells] == [40, 30, 50, 50]


def test_an_alternative_may_name_another_table(folder: Path) -> None:
    """The table of an alternative lies beside the file as well."""
    file = written(folder, TABLE)
    (folder / "fewer.csv").write_text("name\nHeron 1\nHeron 2\n")
    file.write_text(BY_TABLE + "alternatives: {fewer: {wells: fewer.csv}}\n")
    assert len(load(file).wells) == 4
    fewer = load(file, "fewer").wells
    assert len(fewer) == 2
    stated_whole = stated(read(file))
    (folder / "fewer.csv").unlink()
    assert load_stated(stated_whole, "fewer").wells == fewer
    assert said(folder, file.read_text()) == [
        "pad.yaml:28: alternatives.fewer.wells: no such file; expected a csv table of wells (got 'fewer.csv')"
    ]


def columns(part: type[Part] = Well, prefix: str = "") -> list[str]:
    """Keys of a well, those of its sections behind a dot."""
    sections: dict[str, type[Part]] = {
        "preparation": Preparation,
        "toe": Toe,
        "injection_test": InjectionTest,
        "stage_design": StageDesign,
        "flowback_water": FlowbackWater,
        "production": Production,
        "pressure": Pressure,
    }
    return [
        path
        for key in part.model_fields
        for path in (columns(sections[key], f"{key}.") if key in sections else [prefix + key])
    ]


COLUMNS = ", ".join(columns())
LENGTH = "expected a length such as '20500 ft' or '6250 m'"


@pytest.mark.parametrize(
    ("table", "lines"),
    [
        ("", ["heron.csv:1: empty; expected a header with names of fields, then wells"]),
        ("\n , ,\n", ["heron.csv:1: empty; expected a header with names of fields, then wells"]),
        ("\nname,stages\n", ["heron.csv:2: no wells below the header; expected one a line"]),
        ("stages\n3\n", ["heron.csv:1: missing column: name is required"]),
        (
            "name,stages,colour\nA,3,red\n",
            [f"heron.csv:1: colour: unknown column; expected one of {COLUMNS}"],
        ),
        (
            "name,Measured depth\nA,3 ft\n",
            ["heron.csv:1: Measured depth: unknown column; did you mean 'measured_depth'"],
        ),
        ("name,,stages\nA,,3\n", [f"heron.csv:1: column 2 has no name; expected one of {COLUMNS}"]),
        ("name,stages,stages\nA,3,3\n", ["heron.csv:1: stages: a column stated twice; expected each once"]),
        ("name,toe,toe.method\nA,,\n", ["heron.csv:1: toe.method: a column stated twice; expected each once"]),
        (
            "name,stages [ft]\nA,3\n",
            ["heron.csv:1: stages: unit 'ft' in a column that measures nothing; expected no unit"],
        ),
        (
            "name,measured_depth [furlong]\nA,3\n",
            [f"heron.csv:1: measured_depth: unit 'furlong' is not known; {LENGTH}"],
        ),
        ("name,measured_depth [bbl]\nA,3\n", [f"heron.csv:1: measured_depth: 'bbl' is a volume; {LENGTH}"]),
        (
            "name,stages\nA,3,4\nB\nC,5\n",
            [
                "heron.csv:2: A: cells: 3; expected 2, as in the header",
                "heron.csv:3: B: cells: 1; expected 2, as in the header",
            ],
        ),
        (
            'name,stages\n"A,3\nB,4\n',
            ["heron.csv:2: a quote that is never closed"],
        ),
        (
            'name,stages\n"A"x,3\n',
            ["heron.csv:2: text behind a closing quote; expected a separator there"],
        ),
        (
            "name,stages\nA," + "3" * 140_000 + "\n",
            ["heron.csv:2: a cell of more than 131,072 letters; perhaps a quote is never closed"],
        ),
        (
            "name,stages\nHeron é,3\n".encode("latin-1"),
            ["heron.csv:2: not UTF-8 text; expected a csv table of wells, saved as UTF-8"],
        ),
        (
            "name\n" + "".join(f"W{number}\n" for number in range(1001)),
            ["heron.csv:1002: more than 1,000 wells; expected at most that many"],
        ),
        (
            'name,measured_depth\n"A\nB",\nC,20500\nC,20500 bbl\n,3 ft\n',
            [
                "heron.csv:2: name: not a usable name; expected printable text without dots (paths use them) or outer"
                " spaces (got 'A?B')",
                f"heron.csv:4: measured_depth: a number without a unit; {LENGTH} (got '20500')",
                f"heron.csv:5: measured_depth: 'bbl' is a volume; {LENGTH} (got '20500 bbl')",
                "heron.csv:5: name: an earlier entry has the same name; expected each name once (got 'C')",
                "heron.csv:6: row 6: missing: name is required (text)",
            ],
        ),
        (
            "name,stages,measured_depth [ft]\nA,0,-3\n",
            [
                f"heron.csv:2: measured_depth: negative; {LENGTH} (got '-3 ft')",
                "heron.csv:2: stages: expected 1 or more (got 0)",
            ],
        ),
        (
            "name,lateral_length [ft]\nA,30000\nB,\n",
            [
                "heron.csv:2: lateral_length: not less than the whole measured_depth of 20,500 ft; expected only the"
                " lateral (got '30000 ft')"
            ],
        ),
    ],
)  # fmt: skip
def test_each_slip_in_a_table_is_one_plain_line(folder: Path, table: str | bytes, lines: list[str]) -> None:
    """A slip is placed by the line of the table and its column."""
    assert refused(folder, table) == lines


def test_a_required_field_may_be_missing_in_a_row(tmp_path: Path) -> None:
    """What neither the row nor the shared values state is missed in the row, by the name of its well."""
    (tmp_path / "heron.csv").write_text("name,measured_depth [ft]\nHeron 1,20500\nHeron 2,\n")
    assert said(tmp_path, BY_TABLE.replace("  measured_depth: 20500 ft\n", "")) == [
        "heron.csv:3: Heron 2: missing: measured_depth is required (along the hole, from the wellhead to the toe)"
    ]


def test_what_no_row_states_is_missed_where_it_could_be_shared(tmp_path: Path) -> None:
    """Once, in the scenario file, however many wells there are."""
    (tmp_path / "heron.csv").write_text("name\nHeron 1\nHeron 2\n")
    assert said(tmp_path, BY_TABLE.replace("fluid: 9500 bbl, ", "")) == [
        "pad.yaml:9: well_defaults.stage_design: expected either fluid, all water of a stage, or fluid_per_length"
    ]


def test_pressures_and_production_have_columns(tmp_path: Path) -> None:
    """Units in the header or the cell, shares as percentages, the rest of a section from what wells share."""
    (tmp_path / "heron.csv").write_text(
        "name,pressure.stack_rating [psi],pressure.margin,production.peak [bbl/day],casing_inside_diameter\n"
        "Heron 1,15000,5 %,1100,4.5 in\nHeron 2,,,,\n"
    )
    shared = "  toe: wet shoe\n  pressure: {true_vertical_depth: 10000 ft}\n"
    (tmp_path / "pad.yaml").write_text(BY_TABLE.replace("  toe: wet shoe\n", shared))
    first, second = load(tmp_path / "pad.yaml").wells
    assert first.pressure is not None
    assert second.pressure is not None
    assert (first.pressure.stack_rating, first.pressure.margin) == (15_000, 0.05)
    assert (second.pressure.stack_rating, second.pressure.margin) == (10_000, 0.1)
    assert first.pressure.true_vertical_depth == second.pressure.true_vertical_depth == 10_000
    assert (first.casing_inside_diameter, second.casing_inside_diameter) == (4.5, 4.778)
    assert first.production is not None
    assert first.production.peak * 24 == pytest.approx(1100)
    assert second.production is None


def test_no_table_at_all(folder: Path) -> None:
    """A table that is not there is a problem of the line that names it."""
    assert said(folder, BY_TABLE) == [
        "pad.yaml:10: wells: no such file; expected a csv table of wells (got 'heron.csv')"
    ]
