"""Each slip in a scenario file is one plain line: where, what is wrong, what was expected, what was found."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario.equipment import PreparationCrew, WirelineUnit
from sim.scenario.fields import AsWritten
from sim.scenario.wells import Well
from tests.scenario.files import changed, said

KEYS = ", ".join(AsWritten.model_fields)
WELL_KEYS = ", ".join(Well.model_fields)
CREW_KEYS = ", ".join(PreparationCrew.model_fields)
WIRELINE_KEYS = ", ".join(WirelineUnit.model_fields)
TIME = "expected a time such as '12 h', '30 min' or '4 day'"
SHAPES = "triangular, pert, uniform, lognormal, gamma, weibull, exponential, empirical"


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (
            "horizon: 240 day",
            "horizn: 240 day",
            f"3: horizn: unknown key; did you mean 'horizon'; known keys: {KEYS}",
        ),
        ("title: Four wells at Heron Bend", "title: 4", "1: title: expected text; put quotes around it (got 4)"),
        (
            "title: Four wells at Heron Bend",
            "title: " + "x" * 300,
            f"1: title: expected text of at most 200 letters (got '{'x' * 57}...')",
        ),
        (
            "start: 2027-03-01 06:00\n",
            "",
            "1: missing: start is required (hour zero: local date and time at the location)",
        ),
        (
            "start: 2027-03-01 06:00",
            "start: 20270301",
            "2: start: not a date; expected for example 2027-03-01 or 2027-03-01 06:00 (got 20270301)",
        ),
        (
            "start: 2027-03-01 06:00",
            "start: 1/3/2027",
            "2: start: not a date; expected for example 2027-03-01 or 2027-03-01 06:00 (got '1/3/2027')",
        ),
        (
            "start: 2027-03-01 06:00",
            "start: 2027-13-01",
            "2: start: expected a date such as 2027-03-01 or 2027-03-01 06:00 (got '2027-13-01')",
        ),
        (
            "start: 2027-03-01 06:00",
            "start: 2027-03-01T06:00Z",
            "2: start: carries a time zone; expected the local time of the location, without (got '2027-03-01T06:00Z')",
        ),
        (
            "start: 2027-03-01 06:00",
            "start: 0207-03-01",
            "2: start: a year taken for a slip; expected 1950 to 2199 (got '0207-03-01')",
        ),
        ("horizon: 240 day", "horizon: 240", f"3: horizon: a number without a unit; {TIME} (got 240)"),
        ("horizon: 240 day", "horizon: -2 day", f"3: horizon: negative; {TIME} (got '-2 day')"),
        ("horizon: 240 day", "horizon: .nan", f"3: horizon: a number without a unit; {TIME} (got nan)"),
        (
            "wells:\n",
            "wells:\n  - Heron 0\n",
            f"11: wells[item 1]: expected keys with values: {WELL_KEYS} (got 'Heron 0')",
        ),
        (
            "  - {name: Heron 1, rig_release: 2027-02-10}",
            "  - {rig_release: 2027-02-10}",
            "11: wells[item 1]: missing: name is required (text)",
        ),
        (
            "{name: Heron 1,",
            "{name: Heron.1,",
            "11: wells.Heron.1.name: not a usable name; expected printable text without dots (paths use them) or outer"
            " spaces (got 'Heron.1')",
        ),
        ("{name: Heron 1,", '{name: "",', "11: wells[item 1].name: expected text with at least 1 letter (got '')"),
        (
            "{name: Heron 1,",
            "{name: Heron 1, depth: 3,",
            f"11: wells.Heron 1.depth: unknown key; known keys: {WELL_KEYS}",
        ),
        (
            "stage_length: 250 ft",
            "stages: 40.5",
            "13: wells.Heron 3.stages: expected a whole number (got 40.5)",
        ),
        ("stage_length: 250 ft", "stages: many", "13: wells.Heron 3.stages: expected a whole number (got 'many')"),
        (
            "stage_length: 250 ft",
            "stages: true",
            "13: wells.Heron 3.stages: a yes or no; expected a whole number (got true)",
        ),
        (
            "horizon: 240 day",
            "horizon: 240 day\ntrouble_factor: true",
            "4: trouble_factor: a yes or no; expected a number (got true)",
        ),
        (
            "toe: {time: 5 h}",
            "toe: {time: {lognormal: {mean: 5 h, P90: 9 h}}}",
            "13: wells.Heron 3.toe.time.lognormal: expected {mean: ..., cv: ...} or {P10: ..., P90: ...}"
            " (got {mean: 5 h, P90: 9 h})",
        ),
        (
            "toe: {time: 5 h}",
            "toe: {time: {lognormal: {mean: 5 h, cv: 0.5, P10: 2 h, P90: 9 h}}}",
            "13: wells.Heron 3.toe.time.lognormal: expected {mean: ..., cv: ...} or {P10: ..., P90: ...}"
            " (got {mean: 5 h, cv: 0.5, P10: 2 h, P90: 9 h})",
        ),
        ("stage_length: 250 ft", "stages: 0", "13: wells.Heron 3.stages: expected 1 or more (got 0)"),
        ("stage_length: 250 ft", "stages: 501", "13: wells.Heron 3.stages: expected at most 500 (got 501)"),
        (
            "toe: {time: 5 h}",
            "toe: wet sho",
            "13: wells.Heron 3.toe: expected 'toe sleeve', 'wet shoe', 'tubing-conveyed perforating' or 'none';"
            " did you mean 'wet shoe' (got 'wet sho')",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{lognormal: {P10: 210 min, P90: 90 min}}",
            "14: wells.Heron 4.stage_design.pump_time.lognormal: expected P10 below P90: P90 is the value not exceeded"
            " with 90 % chance (got {P10: 210 min, P90: 90 min})",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{lognormal: {mean: 90 min}}",
            "14: wells.Heron 4.stage_design.pump_time.lognormal: missing: cv is required"
            " (standard deviation over mean)",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{lognormal: 3 h}",
            "14: wells.Heron 4.stage_design.pump_time.lognormal: expected {mean: ..., cv: ...} or {P10: ..., P90: ...}"
            " (got '3 h')",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{gamma: {mean: 3 h, cv: wide}}",
            "14: wells.Heron 4.stage_design.pump_time.gamma.cv: expected a number (got 'wide')",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{gamma: {mean: 3 h, cv: 11}}",
            "14: wells.Heron 4.stage_design.pump_time.gamma.cv: expected at most 10 (got 11)",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{weibull: {mean: 3 h, shape: .inf}}",
            "14: wells.Heron 4.stage_design.pump_time.weibull.shape: expected a number (got inf)",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{from_design: {factor: {lognormal: {mean: 0, cv: 1}}}}",
            "14: wells.Heron 4.stage_design.pump_time.from_design.factor.lognormal.mean: expected more than 0 (got 0)",
        ),
        (
            "{lognormal: {P10: 90 min, P90: 210 min}}",
            "{empirical: []}",
            "14: wells.Heron 4.stage_design.pump_time.empirical: an empty list; expected at least one entry",
        ),
        (
            "{triangular: [4 day, 6 day, 12 day]}",
            "{triangular: [4 day, 6 day]}",
            "22: units.flowback_spreads.duration.triangular: expected triangular: [lowest, most likely, highest]"
            " (got [4 day, 6 day])",
        ),
        (
            "{triangular: [4 day, 6 day, 12 day]}",
            "{uniform: [4 day, 6 day, 12 day]}",
            "22: units.flowback_spreads.duration.uniform: expected uniform: [lowest, highest]"
            " (got [4 day, 6 day, 12 day])",
        ),
        (
            "{triangular: [4 day, 6 day, 12 day]}",
            "{triangular: [6 day, 4 day, 12 day]}",
            "22: units.flowback_spreads.duration: expected triangular: [lowest, most likely, highest], rising, lowest"
            " below highest (got {triangular: [6 day, 4 day, 12 day]})",
        ),
        (
            "{triangular: [4 day, 6 day, 12 day]}",
            "{triangle: [4 day, 6 day, 12 day]}",
            f"22: units.flowback_spreads.duration: not a duration; expected a time such as '12 h', or one of {SHAPES};"
            " did you mean 'triangular' (got {triangle: [4 day, 6 day, 12 day]})",
        ),
        (
            "{pert: [5 min, 9 min, 25 min]}",
            "{pert: [5 min, 9 bbl, 25 min]}",
            f"21: units.milling_rigs[item 1].per_plug.pert[item 2]: 'bbl' is a volume; {TIME} (got '9 bbl')",
        ),
        (
            "hours: day shift",
            "hours: 7-19",
            "16: units.preparation_crews.hours: not working hours; expected 'around the clock', 'day shift'"
            " (06:00-18:00) or e.g. '07:00-19:00' (got '7-19')",
        ),
        (
            "  wireline_units: {count: 2, run_in: 250 ft/min}",
            "  wireline_units: []",
            "19: units.wireline_units: an empty list; expected at least one entry",
        ),
        (
            "  wireline_units: {count: 2, run_in: 250 ft/min}",
            "  wireline_units: 2",
            f"19: units.wireline_units: expected keys with values: {WIRELINE_KEYS} (got 2)",
        ),
        (
            "  preparation_crews: {count: 1, hours: day shift}",
            "  preparation_crews:",
            f"16: units.preparation_crews: expected keys with values: {CREW_KEYS}; or a list of such (got nothing)",
        ),
        (
            "    - {name: River intake, rate: 55 kbbl/day}\n    - {name: Produced water line, rate: 15 kbbl/day}\n",
            "    River intake: 55 kbbl/day\n",
            "25: water.sources: expected a list, each entry being keys with values: name, rate,"
            " daily_limit, hours, open, outages, stopped, to, priority"
            " (got {River intake: 55 kbbl/day})",
        ),
        (
            "start_rule: full stage on hand",
            "start_rule: full stage",
            "24: water.start_rule: expected 'full stage on hand', 'enough to finish' or 'as it comes';"
            " did you mean 'full stage on hand' (got 'full stage')",
        ),
        (
            "transfer: {limit: 70 kbbl/day, lay: 36 h}",
            "transfer: {lay: 36 h}",
            "28: water.transfer: missing: limit is required (a volume per time such as '90 bbl/min', '60 kbbl/day' or"
            " '15 m3/min')",
        ),
        (
            "  wells_in_rotation: 2",
            "  wells_in_rotation: two",
            "31: strategy.wells_in_rotation: expected a whole number (got 'two')",
        ),
        (
            "  wells_in_rotation: 2",
            f"  wells_in_rotation: {[1] * 1001}",
            f"31: strategy.wells_in_rotation: too many entries; expected at most 1,000 (got [{'1, ' * 18}1,...)",
        ),
        (
            "  order: [Heron 2, Heron 1, Heron 3, Heron 4]",
            "  order: Heron 2",
            "32: strategy.order: expected a list, each entry being text (got 'Heron 2')",
        ),
        (
            "  sequential: {strategy.wells_in_rotation: 1}",
            "  sequential: 1",
            "34: alternatives.sequential: expected patches, such as sequential: {strategy.wells_in_rotation: 1}"
            " (got 1)",
        ),
    ],
)
def test_each_slip_is_one_plain_line(tmp_path: Path, old: str, new: str, line: str) -> None:
    """One thing wrong: one line with file, line, path, what is wrong, what was expected, and what was found."""
    assert said(tmp_path, changed((old, new))) == [f"pad.yaml:{line}"]


def test_comma_in_a_number_between_braces_is_called_so(tmp_path: Path) -> None:
    """There it ends the value, and what follows it reads like a key."""
    assert said(tmp_path, changed(("fluid: 9500 bbl", "fluid: 9,500 bbl"))) == [
        "pad.yaml:9: well_defaults.stage_design.500 bbl: a comma in a number, which ends the value before it; expected"
        " thousands without one, such as '9000 bbl'",
        "pad.yaml:9: well_defaults.stage_design.fluid: a number without a unit; expected a volume such as '9500 bbl',"
        " '60 kbbl' or '1500 m3' (got 9)",
    ]
