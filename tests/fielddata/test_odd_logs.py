"""Whatever stands in a log, reading and calibrating end in an answer or in a refusal, and the answer fits the plan."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.field.calibration import calibrate
from analysis.field.jobs import intervals_of, jobs_of
from analysis.field.patch_text import patch_text, refuse_unusable
from analysis.field.played import reduced
from analysis.field.reading import FieldLog, read_log
from analysis.field.synthetic import invented_log
from sim.pad import simulate
from sim.scenario import ScenarioError, load, read
from tests.fielddata.logs import HEADINGS, SIX_WELLS, six_wells, small_pad, written

ODD = [
    "", "0001-01-01 00:00", "9999-12-31 23:59", "2027-03-14 02:30", "2027-04-31 10:00", "²", "٣", "1e9", "-5", "nan",
    "inf", "Fleet A", "Curlew 1", "pump stage", "stand by", "rig up", "50", "=1+1", '"', "screen-out", "12:00", "\x07",
]  # fmt: skip


@settings(derandomize=True, max_examples=20, deadline=None)
@given(st.data())
def test_no_cell_stops_the_reading_otherwise_than_by_a_refusal(data: st.DataObject) -> None:
    """Rows of a sound log with cells changed to odd ones, some rows alone, some many."""
    rows = invented_log(small_pad(), 1).rows
    chosen = data.draw(st.lists(st.sampled_from(rows), min_size=1, max_size=30))
    lines = []
    for row in chosen:
        cells = list(row)
        for place in data.draw(st.lists(st.integers(0, 7), max_size=2)):
            cells[place] = data.draw(st.sampled_from(ODD))
        lines.append(",".join(cells))
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.csv"
        file.write_text("\n".join([HEADINGS, *lines]), encoding="utf-8")
        with suppress(ScenarioError):
            log = read_log(file, small_pad())
            read_as_it_stands(log)


def read_as_it_stands(log: FieldLog) -> None:
    """Every row is used or named, and what is used makes jobs and measures."""
    assert len(log.rows) + log.left_out == log.read
    assert log.left_out <= len({finding.row for finding in log.findings if finding.left_out})
    assert {finding.row for finding in log.findings if finding.left_out}.isdisjoint(log.rows["row"])
    jobs_of(log)
    reduced(intervals_of(log, small_pad()), log.until_h)


VARIED = """\
start: 2027-03-01 06:00
wells:
  - name: A 1
    measured_depth: 15000 ft
    lateral_length: 5000 ft
    stages: 4
    toe: none
    stage_design:
      fluid: 9000 bbl
      pump_time: {triangular: [2 h, 3 h, 4 h]}
      wireline_time: {by_stage: [2 h, 2 h, 2 h, 2 h]}
  - name: "B:2"
    measured_depth: 15000 ft
    lateral_length: 5000 ft
    stages: 5
    toe: wet shoe
    injection_test: {}
    stage_design: {fluid_per_length: 40 bbl/ft}
  - name: C 3
    measured_depth: 15000 ft
    lateral_length: 5000 ft
    stage_length: 300 ft
    stage_design: {fluid: 8000 bbl, pump_time: from design}
units:
  preparation_crews: [{}, {hours: day shift}]
  pumping_fleets: [{name: F1, learning: {doubling: 95 %}}, {name: F2}]
  wireline_units: [{count: 2}, {name: W9, turnaround: {uniform: [20 min, 50 min]}}]
  milling_rigs: {learning: {}}
  flowback_spreads: {count: 2}
strategy: {wells_in_rotation: 1}
troubles: {screen-out: {every: 20 h}, misrun: {}, stuck tools: {then: repeat, chance: 3 %}, pump failure: {}}
trouble_factor: 2
alternatives: {together: {strategy.wells_in_rotation: 3, strategy.pumped_together: 2}}
"""


@pytest.mark.parametrize("alternative", [None, "together"])
def test_every_way_of_stating_a_plan_takes_its_calibration(tmp_path: Path, alternative: str | None) -> None:
    """Durations plain, by stage, from the design; units with names and without; wells of their own."""
    file, sheet = tmp_path / "pad.yaml", tmp_path / "log.csv"
    file.write_text(VARIED, encoding="utf-8")
    scenario = load(file, alternative)
    sheet.write_text(written(scenario, simulate(scenario, 0, 1)), encoding="utf-8")
    log = read_log(sheet, scenario)
    found = calibrate(log, scenario, read(file, alternative))
    names = [each.quantity.name for each in found.figures]
    assert len(set(names)) == len(names)
    assert "pump stage, factor on the design, C 3" in names
    text = patch_text(found, log, scenario)
    assert '"wells.B:2.stage_design.pump_time"' in text
    assert "by_stage" not in text
    refuse_unusable(file, text, alternative)


def test_what_multiplies_all_troubles_is_not_in_the_patch(tmp_path: Path) -> None:
    """With a factor of two and the plan alone to go by, the chance stays as stated."""
    file, sheet = tmp_path / "pad.yaml", tmp_path / "log.csv"
    file.write_text(VARIED, encoding="utf-8")
    scenario = load(file)
    sheet.write_text(written(scenario, simulate(scenario, 0, 1)), encoding="utf-8")
    log = read_log(sheet, scenario)
    text = patch_text(calibrate(log, scenario, read(file), 10_000), log, scenario)
    assert "troubles.misrun.chance: 2 %" in text
    every = next(line for line in text.splitlines() if line.startswith("troubles.screen-out.every"))
    assert float(every.split()[1]) == pytest.approx(20, rel=0.002)


def test_the_calibrated_demo_pad_is_played_later_than_its_plan(tmp_path: Path) -> None:
    """The invented log of the example has stages 23 % longer: with the patch every replication ends later."""
    log = read_log(SIX_WELLS.parent / "field" / "six_well_pad_log.csv", six_wells())
    text = patch_text(calibrate(log, six_wells(), read(SIX_WELLS)), log, six_wells())
    patch = tmp_path / "patch.yaml"
    patch.write_text(text, encoding="utf-8")
    plan, field = (
        [simulate(each, k, 1).intervals[-1].end_h for k in range(3)]
        for each in (six_wells(), load(SIX_WELLS, patch=patch))
    )
    assert all(later > sooner for sooner, later in zip(plan, field, strict=True))


def test_no_strike_and_a_plan_worth_nothing_leave_the_rate_as_planned(tmp_path: Path) -> None:
    """Nothing is known then of the hours between strikes, and no number is put in their place."""
    file, sheet = tmp_path / "pad.yaml", tmp_path / "log.csv"
    file.write_text(VARIED.replace("every: 20 h", "every: 20000 h"), encoding="utf-8")
    scenario = load(file)
    sheet.write_text(written(scenario, simulate(scenario, 0, 1)), encoding="utf-8")
    log = read_log(sheet, scenario)
    text = patch_text(calibrate(log, scenario, read(file), 0.0), log, scenario)
    assert "screen-out.every" not in text
    assert "misrun.chance: 0 %" in text or "misrun: 0 in" not in text
    refuse_unusable(file, text)
