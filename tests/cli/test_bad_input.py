"""Faulty files through the command line: every mistake named by file, line and place, and nothing written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from desk import PAD, changed, contents, padtempo, process

from sim.scenario.problems import SHOWN

WELLS = "wells:\n  - {name: Curlew 1}\n  - {name: Curlew 2, rig_release: 2027-03-02}\n"
SPREAD = "{triangular: [4 day, 5 day, 9 day]}"

# What is wrong; the change to the pad; what must be said, by line and place.
FAULTS = {
    "unknown key": (("  stages: 5", "  stags: 5"), "7: well_defaults.stags: unknown key; did you mean 'stages'"),
    "unknown section": (("water:", "watter:"), "18: watter: unknown key; did you mean 'water'"),
    "key twice": (("  stages: 5", "  stages: 5\n  stages: 6"), "8: well_defaults.stages: stated twice, first in line"),
    "wrong dimension": (
        ("15000 ft", "15000 bbl"), "5: well_defaults.measured_depth: 'bbl' is a volume; expected a length",
    ),
    "no unit": (("15000 ft", "15000"), "5: well_defaults.measured_depth: a number without a unit; expected a length"),
    "no number": (("15000 ft", "ft"), "5: well_defaults.measured_depth: not a quantity; expected a length"),
    "unknown unit": (("15000 ft", "15000 cubits"), "5: well_defaults.measured_depth: unit 'cubits' is not known"),
    "prefix M": (("40 kbbl", "40 Mbbl"), "20: water.storage.capacity: the prefix M means a thousand to some"),
    "negative": (("9000 bbl", "-9000 bbl"), "8: well_defaults.stage_design.fluid: negative; expected a volume"),
    "zero": (("9000 bbl", "0 bbl"), "8: well_defaults.stage_design.fluid: must be more than zero"),
    "not a number": (("9000 bbl", ".nan"), "8: well_defaults.stage_design.fluid: "),
    "infinite": (("9000 bbl", ".inf"), "8: well_defaults.stage_design.fluid: "),
    "1e308": (("9000 bbl", "1e308 bbl"), "8: well_defaults.stage_design.fluid: more than 1,000,000,000 barrels"),
    "falling distribution": (
        ("[4 day, 5 day, 9 day]", "[9 day, 5 day, 4 day]"),
        "17: units.flowback_spreads.duration: expected triangular: [lowest, most likely, highest]",
    ),
    "two of three": (("[4 day, 5 day, 9 day]", "[4 day, 9 day]"), "17: units.flowback_spreads.duration.triangular: "),
    "unknown distribution": (
        ("triangular:", "normal:"), "17: units.flowback_spreads.duration: not a duration; expected a time such as",
    ),
    "percentiles reversed": (
        (SPREAD, "{lognormal: {P10: 9 day, P90: 5 day}}"),
        "17: units.flowback_spreads.duration.lognormal: expected P10 below P90",
    ),
    "name twice": (("name: Curlew 2", "name: Curlew 1"), "11: wells.Curlew 1.name: an earlier entry has the same name"),
    "name with a dot": (("name: Curlew 1", "name: Curlew.1"), "10: wells.Curlew.1.name: not a usable name"),
    "no wells": ((WELLS, "wells: []\n"), "9: wells: an empty list; expected at least one entry"),
    "no start": (("start: 2027-03-01 06:00\n", ""), "1: missing: start is required"),
    "no rigs": (("  milling_rigs: {}\n", ""), "12: units: missing: milling_rigs is required"),
    "rigs left blank": (("milling_rigs: {}", "milling_rigs:"), "16: units.milling_rigs: expected keys with values"),
    "impossible date": (("2027-03-01 06:00", "2027-02-30"), "2: start: expected a date such as 2027-03-01"),
    "date the other way": (("2027-03-01 06:00", "03/01/2027"), "2: start: not a date; expected for example 2027-03-01"),
    "arrival before the start": (
        ("2027-03-05", "2027-02-05"), "14: units.pumping_fleets.arrives: before the start, 2027-03-01 06:00",
    ),
    "arrival after the horizon": (("2027-03-05", "2029-03-05"), "14: units.pumping_fleets.arrives: after the h"),
    "hours": (("day shift", "6 to 18"), "13: units.preparation_crews.hours: not working hours; expected 'around the"),
    "more in rotation than wells": (
        ("wells_in_rotation: 2", "wells_in_rotation: 3"),
        "22: strategy.wells_in_rotation: more than there are wells; expected at most 2 (got 3)",
    ),
    "more together than in rotation": (
        ("wells_in_rotation: 2", "pumped_together: 3"), "22: strategy.pumped_together: more than are in rotation",
    ),
    "half a well": (("rotation: 2", "rotation: 1.5"), "22: strategy.wells_in_rotation: expected a whole number"),
    "unknown choice": (
        ("wells_in_rotation: 2", "drill_out: after group"),
        "22: strategy.drill_out: expected 'after the group' or 'after the pad'; did you mean 'after the group'",
    ),
    "order with a stranger": (
        ("wells_in_rotation: 2", "order: [Curlew 1, Curfew 2]"),
        "22: strategy.order[item 2]: no well is called that; did you mean 'Curlew 2'",
    ),
    "alternative to nowhere": (
        ("strategy.wells_in_rotation: 1", "strategy.wells: 1"),
        "24: alternatives.sequential.strategy.wells: unknown path: nothing there is called 'wells'",
    ),
    "alternative with a wrong value": (
        ("strategy.wells_in_rotation: 1", "strategy.wells_in_rotation: one"),
        "24: alternatives.sequential.strategy.wells_in_rotation: expected a whole number (got 'one')",
    ),
    "lateral longer than the well": (
        ("5000 ft\n  stages", "15000 ft\n  stages"), "6: well_defaults.lateral_length: not less than the whole",
    ),
    "more in storage than it holds": (
        ("capacity: 40 kbbl", "capacity: 40 kbbl, fill_to: 50 kbbl"),
        "20: water.storage.fill_to: more than the storage holds; expected at most its capacity, 40,000 bbl",
    ),
    "storage too small for a stage": (("40 kbbl", "4 kbbl"), "20: water.storage.capacity: less than one stage of"),
    "water that never comes": (("rate: 50 kbbl/day", "rate: 0 bbl/day"), "19: water.sources: deliver nothing"),
    "job longer than its shift": (
        ("hours: day shift", "hours: '08:00-12:00', at_shift_end: fit the job in"),
        "13: units.preparation_crews.at_shift_end: preparation.nipple_up may take 12 h and would not fit",
    ),
    "too few stages listed": (
        ("proppant: 400 klb", "proppant: 400 klb, pump_time: {by_stage: [2 h, 2 h]}"),
        "8: well_defaults.stage_design.pump_time.by_stage: 2 entries for the 5 stages of Curlew 1",
    ),
    "no table of wells": ((WELLS, "wells: wells.csv\n"), "9: wells: no such file; expected a csv table of wells"),
    "tab": (("  stages: 5", "\tstages: 5"), "7: a tab; expected spaces for indentation"),
    "indentation": (("  stages: 5", "   stages: 5"), "7: a ':' that fits nowhere; check the indentation"),
    "bracket left open": (("9 day]}", "9 day}"), "17: a list that is not closed, or lacks a comma"),
    "quote left open": (("title: Curlew Flat", "title: 'Curlew Flat"), "1: a quote that is never closed"),
    "colon in the title": (("Curlew Flat", "Curlew: Flat"), "1: a ':' that fits nowhere"),
    "space forgotten": (("  stages: 5", "  stages:5"), "7: expected 'key: value', with a space after the colon"),
    "second document": (("water:", "---\nwater:"), "18: a second document begins here; expected one"),
}  # fmt: skip

BYTES = {
    "binary": (bytes(range(256)), "2: not UTF-8 text; expected a scenario file, saved as UTF-8"),
    "empty": (b"", "1: empty; expected a scenario: start, wells and units"),
    "only a word": (
        b"hello\n",
        "1: not a scenario; expected keys with values, such as start: 2027-03-01 (got 'hello')",
    ),
    "truncated": (PAD.encode()[:350], "14: a mapping that is not closed, or lacks a comma; expected ',' or '}'"),
    "another encoding": (PAD.replace("Flat", "Flöt").encode("latin-1"), "1: not UTF-8 text"),
}

TABLES = {
    "no names": ("measured_depth [ft],stages\n15000,5\n", "1: missing column: name is required"),
    "unknown column": ("name,stags\nCurlew 1,5\n", "1: stags: unknown column; did you mean 'stages'"),
    "wrong unit": (
        "name,measured_depth [bbl]\nCurlew 1,5\n",
        "1: measured_depth: 'bbl' is a volume; expected a length",
    ),
    "no unit": ("name,measured_depth\nCurlew 1,15000\n", "2: measured_depth: a number without a unit"),
    "not a number": ("name,measured_depth [ft]\nCurlew 1,deep\n", "2: measured_depth: not a quantity"),
    "ragged": ("name,stages\nCurlew 1,5,7\n", "2: Curlew 1: cells: 3; expected 2, as in the header"),
    "name twice": ("name,stages\nCurlew 1,5\nCurlew 1,6\n", "3: name: an earlier entry has the same name"),
    "only a header": ("name,stages\n", "1: no wells below the header; expected one a line"),
    "empty": ("", "1: empty; expected a header with names of fields, then wells"),
}


def refused(folder: Path, *arguments: str, faulty: str = "pad.yaml") -> list[str]:
    """What is said of a forecast that cannot be run, line by line behind the name of the faulty file."""
    before = contents(folder)
    done = padtempo("forecast", *arguments, "--out", str(folder / "run"))
    assert (done.exit_code, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert contents(folder) == before
    assert not (folder / "run").exists()
    lines = done.stderr.splitlines()
    assert lines
    place = re.compile(rf"{re.escape(str(folder / faulty))}:(\d+: \S.*)")
    found = [place.fullmatch(line) for line in lines]
    assert all(found), lines
    return [line[1] for line in found if line]


def said_of(folder: Path, content: bytes) -> list[str]:
    file = folder / "pad.yaml"
    file.write_bytes(content)
    checked = padtempo("check", str(file))
    assert (checked.exit_code, checked.stdout) == (2, "")
    return refused(folder, str(file))


@pytest.mark.parametrize("fault", FAULTS)
def test_fault_is_named_where_it_stands(fault: str, tmp_path: Path) -> None:
    """Exit code 2, `file:LINE: where: message` on every line, nothing played and nothing written."""
    change, expected = FAULTS[fault]
    lines = said_of(tmp_path, changed(change).encode())
    assert any(line.startswith(expected) for line in lines), lines


@pytest.mark.parametrize("fault", BYTES)
def test_file_that_is_no_scenario(fault: str, tmp_path: Path) -> None:
    """Whatever the bytes, it is a message with a line."""
    content, expected = BYTES[fault]
    (line,) = said_of(tmp_path, content)
    assert line.startswith(expected)


@pytest.mark.parametrize("fault", TABLES)
def test_faulty_table_of_wells(fault: str, tmp_path: Path) -> None:
    """Faults of the table are placed in the table, by its own lines."""
    table, expected = TABLES[fault]
    (tmp_path / "wells.csv").write_text(table, encoding="utf-8")
    (tmp_path / "pad.yaml").write_text(changed((WELLS, "wells: wells.csv\n")), encoding="utf-8")
    lines = refused(tmp_path, str(tmp_path / "pad.yaml"), faulty="wells.csv")
    assert any(line.startswith(expected) for line in lines)


def test_all_faults_at_once(tmp_path: Path) -> None:
    """One round of corrections, not five: in the order of their lines."""
    changes = [FAULTS[fault][0] for fault in ("wrong dimension", "zero", "hours", "two of three", "half a well")]
    lines = said_of(tmp_path, changed(*changes).encode())
    assert [int(line.partition(":")[0]) for line in lines] == [5, 8, 13, 17, 22]


OPTIONAL = {
    "troubles": "troubles:\n  screen-out: {}\n  pump failure: {}\n",
    "weather": "weather:\n  spells: {other_months: {good: 90 h, bad: 9 h}}\n  stops: {crane: bad weather}\n",
    "shifts": "shifts: {crew_change: 30 min}\n",
}


@pytest.mark.parametrize("section", OPTIONAL)
def test_sound_sections_beside_a_fault(section: str, tmp_path: Path) -> None:
    """A fault in one section is told alike, whatever sound ones stand beside it."""
    change, expected = FAULTS["wrong dimension"]
    (line,) = said_of(tmp_path, (changed(change) + OPTIONAL[section]).encode())
    assert line.startswith(expected)


def test_hundreds_of_faults_stay_readable(tmp_path: Path) -> None:
    """The first two hundred are listed, the rest counted."""
    wells = "".join(f"  - {{name: W{k}, stages: none}}\n" for k in range(SHOWN + 50))
    file = tmp_path / "pad.yaml"
    file.write_text(changed((WELLS, f"wells:\n{wells}")), encoding="utf-8")
    lines = padtempo("check", str(file)).stderr.splitlines()
    assert len(lines) == SHOWN + 1
    assert re.fullmatch(r"and \d+ more", lines[-1])


def test_unknown_alternative(tmp_path: Path) -> None:
    """Named with those that there are."""
    (tmp_path / "pad.yaml").write_text(PAD, encoding="utf-8")
    (line,) = refused(tmp_path, str(tmp_path / "pad.yaml"), "--alternative", "seqential")
    assert line == (
        "23: alternatives: no such alternative; did you mean 'sequential'; known alternatives: sequential "
        "(got 'seqential')"
    )


@pytest.mark.parametrize(("name", "said"), [("missing.yaml", "no such file"), ("", "a folder")])
def test_no_file_at_all(name: str, said: str, tmp_path: Path) -> None:
    """A missing file and a folder have no lines; they are named with what was expected."""
    done = padtempo("check", str(tmp_path / name))
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == f"{tmp_path / name}: {said}; expected a scenario file\n"


def test_refusal_of_a_real_process(tmp_path: Path) -> None:
    """Exit code, standard error and standard output as a script of one's own meets them."""
    file = tmp_path / "pad.yaml"
    file.write_text(changed(FAULTS["no unit"][0]), encoding="utf-8")
    done = process("forecast", str(file))
    assert (done.returncode, done.stdout) == (2, "")
    assert re.fullmatch(rf"{re.escape(str(file))}:5: well_defaults\.measured_depth: .*\n", done.stderr)
