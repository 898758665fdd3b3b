"""Sections about work in the field, read from a file with everything in it, and the slips in each."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.physics.stages import distance_from_heel_ft
from sim.scenario import Scenario, load
from sim.scenario.equipment import Learning, PreparationCrew, Shifts
from sim.scenario.shapes import Pert
from sim.scenario.strategy import Strategy
from tests.scenario.files import BASE, FULL, changed, said

HOURS = "expected a time such as '12 h', '30 min' or '4 day'"
PERCENTAGE = "expected a percentage such as '1.5 %'"


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Scenario:
    """The scenario with everything in it."""
    file = tmp_path_factory.mktemp("full") / "pad.yaml"
    file.write_text(FULL)
    return load(file)


def test_pressures_of_a_well(full: Scenario) -> None:
    """Shared, but for what a well states itself; what nobody states is the default, in psi, ppg and inches."""
    shared, own = full.wells[0].pressure, full.wells[2].pressure
    assert shared is not None
    assert own is not None
    assert (shared.true_vertical_depth, shared.margin, shared.test_pressure, shared.stack_rating) == (
        10_000,
        0.05,
        9900,
        10_000,
    )
    assert own == shared.model_copy(update={"stack_rating": 15_000.0})
    assert (shared.fracture_gradient, shared.near_wellbore, shared.fluid_density) == (0.8, 300, 8.34)
    assert (shared.friction_reduction, shared.perforations, shared.perforation_diameter) == (0.7, 30, 0.42)


def test_production_of_a_well(full: Scenario) -> None:
    """Peak in bbl/h, decline as a share of the first month."""
    production = full.wells[3].production
    assert production is not None
    assert production.peak * 24 == pytest.approx(1100)
    assert (production.decline, production.b) == (0.1, 1.0)
    assert full.facility is not None
    assert full.facility.limit * 24 == pytest.approx(3000)


def test_water_by_the_foot(full: Scenario) -> None:
    """Per length of lateral, plus pad, plus flush: the casing down to the middle of the stage, 121 mm wide."""
    well = full.wells[2]
    assert well.stage_count == 40
    capacity_bbl_per_ft = (121 / 25.4) ** 2 / 1029.4  # common practice
    depths_ft = 10_500 + distance_from_heel_ft(10_000, 40)
    expected = [250 * 40 + 500 + capacity_bbl_per_ft * depth for depth in depths_ft]
    assert (depths_ft[0], depths_ft[-1]) == (20_375, 10_625)
    assert well.fluid_by_stage == pytest.approx(expected, rel=1e-6)
    assert well.proppant_lb == pytest.approx(2200 * 250)


def test_units_of_the_field(full: Scenario) -> None:
    """Jobs that a crew knows, pumps, learning, reach, sweeps, chokes: each in the one unit kept of its kind."""
    units = full.units
    assert units.frac_stacks == 4
    assert [crew.does for crew in units.preparation_crews] == [
        ("nipple up", "pressure test"),
        ("toe preparation", "injection test"),
    ]
    (fleet,), (wireline,), (rig,), (spread,) = (
        units.pumping_fleets,
        units.wireline_units,
        units.milling_rigs,
        units.flowback_spreads,
    )
    assert (fleet.pumps, fleet.spare_pumps) == (24, 3)
    assert fleet.pump_power == pytest.approx(1000 / 0.7456998715822702)  # NIST Special Publication 811, from memory
    assert fleet.learning == Learning(doubling="95 %")
    assert wireline.learning == Learning(done_before=40)
    assert wireline.learning.doubling == 0.95
    assert rig.reach == pytest.approx(3300 / 0.3048)
    assert (rig.sweep_every, rig.sweep, rig.learning) == (8, 1.5, None)
    assert spread.choke_steps == (24.0, Pert(24, 48, 96))


def test_a_crew_does_one_job_or_all() -> None:
    """A single job needs no list; where nothing is stated, a crew knows all of them."""
    assert PreparationCrew.model_validate({"does": "nipple up"}).does == ("nipple up",)
    assert PreparationCrew().does == ("nipple up", "pressure test", "toe preparation", "injection test")


@pytest.mark.parametrize(
    ("written", "changes_at"),
    [
        ({}, [6.0, 18.0]),
        ({"first_at": "06:30", "every": "8 h"}, [6.5, 14.5, 22.5]),
        ({"first_at": "18:00"}, [18.0, 30.0]),
        ({"first_at": "00:00", "every": "1 day"}, [0.0]),
    ],
)
def test_crews_change_at_the_same_times_every_day(written: dict[str, str], changes_at: list[float]) -> None:
    """From the first on, as often as they fit into a day; beyond 24 they are those of the next morning."""
    assert Shifts.model_validate(written).changes_at == changes_at


@pytest.mark.parametrize(
    ("written", "between"),
    [
        ({}, 0),
        ({"keep_clear": 2}, 2),
        ({"keep_clear_distance": "100 ft"}, 4),
        ({"keep_clear_distance": "101 ft"}, 5),
        ({"keep_clear_distance": "20 ft"}, 0),
        ({"keep_clear_distance": "30 m", "well_spacing": "10 m"}, 2),
        ({"keep_clear": 3, "keep_clear_distance": "30 m", "well_spacing": "10 m"}, 3),
    ],
)
def test_clearance_by_number_or_by_distance(written: dict[str, object], between: int) -> None:
    """Wells in between so that the next one is at least as far away as stated; the stricter of the two counts."""
    assert Strategy.model_validate(written).wells_between == between


CREW = "{count: 1, hours: day shift}"
FLEET = "rate_limit: 120 bbl/min}"
SPREAD = "duration: {triangular: [4 day, 6 day, 12 day]}"
STRATEGY = "  wells_in_rotation: 2\n"
HERON_1 = "{name: Heron 1,"


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        (CREW, "{does: milling}",
         "16: units.preparation_crews.does: expected 'nipple up', 'pressure test', 'toe preparation' or"
         " 'injection test' (got 'milling')"),
        (CREW, "{does: []}", "16: units.preparation_crews.does: an empty list; expected at least one entry"),
        (f"  preparation_crews: {CREW}", f"  frac_stacks: 0\n  preparation_crews: {CREW}",
         "16: units.frac_stacks: expected 1 or more (got 0)"),
        (FLEET, "learning: {doubling: 0.95}}",
         f"18: units.pumping_fleets.Fleet A.learning.doubling: not a share; {PERCENTAGE} (got 0.95)"),
        (FLEET, "learning: {doubling: 0 %}}",
         "18: units.pumping_fleets.Fleet A.learning.doubling: expected more than 0 % (got '0 %')"),
        (FLEET, "learning: 95 %}",
         "18: units.pumping_fleets.Fleet A.learning: expected keys with values: doubling, done_before (got '95 %')"),
        (FLEET, "learning: {done_before: -1}}",
         "18: units.pumping_fleets.Fleet A.learning.done_before: expected 0 or more (got -1)"),
        (FLEET, "pump_power: 1 kPa}",
         "18: units.pumping_fleets.Fleet A.pump_power: 'kPa' is a pressure; expected a power such as '2500 hp' or"
         " '1900 kW' (got '1 kPa')"),
        (SPREAD, "choke_steps: 3 day",
         "22: units.flowback_spreads.choke_steps: expected a list, each entry being a time such as '12 h', '30 min' or"
         " '4 day' (got '3 day')"),
        (SPREAD, "choke_steps: [3 day, 4]",
         f"22: units.flowback_spreads.choke_steps[item 2]: a number without a unit; {HOURS} (got 4)"),
        (STRATEGY, f"{STRATEGY}  keep_clear: -1\n", "32: strategy.keep_clear: expected 0 or more (got -1)"),
        (STRATEGY, f"{STRATEGY}  keep_clear: 9 ft\n", "32: strategy.keep_clear: expected a whole number (got '9 ft')"),
        (STRATEGY, f"{STRATEGY}  keep_clear_distance: 3\n",
         "32: strategy.keep_clear_distance: a number without a unit; expected a length such as '20500 ft' or '6250 m'"
         " (got 3)"),
        ("strategy:\n", "shifts: {first_at: 24:10}\nstrategy:\n",
         "30: shifts.first_at: not a time of day; expected for example 06:00 (got '24:10')"),
        ("strategy:\n", "shifts: {crew_change: 20}\nstrategy:\n",
         f"30: shifts.crew_change: a number without a unit; {HOURS} (got 20)"),
        ("strategy:\n", "shifts: {every: 0}\nstrategy:\n",
         f"30: shifts.every: a number without a unit; {HOURS} (got 0)"),
        ("strategy:\n", "facility: {}\nstrategy:\n",
         "30: facility: missing: limit is required (most that all wells together may flow, such as 5 kbbl/day)"),
        ("strategy:\n", "facility: 3 kbbl/day\nstrategy:\n",
         "30: facility: expected keys with values: limit (got '3 kbbl/day')"),
        (HERON_1, f"{HERON_1} pressure: {{margin: 5 %}},",
         "11: wells.Heron 1.pressure: missing: true_vertical_depth is required (of the lateral)"),
        (HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 3 km, margin: 100 %}},",
         "11: wells.Heron 1.pressure.margin: expected less than 100 % (got '100 %')"),
        (HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 3 km, fracture_gradient: 0.8 psi}},",
         "11: wells.Heron 1.pressure.fracture_gradient: 'psi' is a pressure; expected a pressure per length such as"
         " '0.85 psi/ft' or '19 kPa/m' (got '0.8 psi')"),
        (HERON_1, f"{HERON_1} pressure: {{true_vertical_depth: 3 km, discharge_coefficient: 1.1}},",
         "11: wells.Heron 1.pressure.discharge_coefficient: expected at most 1 (got 1.1)"),
        (HERON_1, f"{HERON_1} production: {{decline: 10 %}},",
         "11: wells.Heron 1.production: missing: peak is required (highest oil rate, such as 1100 bbl/day)"),
        (HERON_1, f"{HERON_1} casing_inside_diameter: 4.778 ppg,",
         "11: wells.Heron 1.casing_inside_diameter: 'ppg' is a mass per volume; expected a length such as '4.778 in' or"
         " '121 mm' (got '4.778 ppg')"),
    ],
)  # fmt: skip
def test_each_slip_is_one_plain_line(tmp_path: Path, old: str, new: str, line: str) -> None:
    """One thing wrong: one line with file, line, path, what is wrong, what was expected, and what was found."""
    assert said(tmp_path, changed((old, new), text=BASE)) == [f"pad.yaml:{line}"]
