"""The direction of imports: `analysis` imports `sim`, never the reverse, and inside each arrows only go down."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# A module may import from its own layer and from those listed before it.
SIM = (
    ("sim.activities", "sim.log", "sim.calendars", "sim.physics", "sim.versions", "sim.under_way"),
    ("sim.standing",),
    ("sim.pool",),
    ("sim.cluster",),
    ("sim.scenario",),
    ("sim.chance",),
    ("sim.supplies",),
    ("sim.operations",),
    ("sim.pad",),
    ("sim.replications", "sim.audit"),
    ("sim",),
)
ANALYSIS = (
    (
        "analysis.chains",
        "analysis.checking",
        "analysis.comparing",
        "analysis.forecasting",
        "analysis.handing_on",
        "analysis.pricing",
        "analysis.relaxing",
        "analysis.runs",
        "analysis.studies",
        "analysis.updating",
    ),
    (
        "analysis.asked",
        "analysis.cautions",
        "analysis.chains.chain_groups",
        "analysis.checking.haulage_arithmetic",
        "analysis.comparing.selection",
        "analysis.examples",
        "analysis.goals",
        "analysis.handing_on.stage_schedule",
        "analysis.observed",
        "analysis.on_production",
        "analysis.pricing.blocks",
        "analysis.pricing.well_flow",
        "analysis.progress",
        "analysis.relaxing.limits_written",
        "analysis.runs.log_frames",
        "analysis.runs.point_rows",
        "analysis.runs.stopping",
        "analysis.runs.whole_files",
        "analysis.statistics",
        "analysis.studies.paths_in_plan",
        "analysis.studies.quantile_functions",
        "analysis.studies.sensitivity",
        "analysis.supply_measures",
        "analysis.wording",
    ),
    (
        "analysis.chains.chain",
        "analysis.checking.averages",
        "analysis.checking.estimates",
        "analysis.comparing.pairs",
        "analysis.comparing.plans",
        "analysis.figures",
        "analysis.forecasting.supply_summary",
        "analysis.measures",
        "analysis.pad_measures",
        "analysis.relaxing.limits_of_units",
        "analysis.relaxing.multiple_tests",
        "analysis.relaxing.relax",
        "analysis.studies.knee",
    ),
    (
        "analysis.chains.chain_summary",
        "analysis.checking.arithmetic",
        "analysis.checking.design_check",
        "analysis.checking.explain",
        "analysis.comparing.comparison_wording",
        "analysis.comparing.ranking",
        "analysis.forecasting.control_variates",
        "analysis.forecasting.precision",
        "analysis.forecasting.supply_table",
        "analysis.pricing.amounts",
        "analysis.pricing.nights",
        "analysis.pricing.production",
        "analysis.pricing.water_taken",
        "analysis.relaxing.limits",
        "analysis.relaxing.quotient",
        "analysis.runs.run_tables",
    ),
    (
        "analysis.chains.chain_answer",
        "analysis.chains.chain_pictures",
        "analysis.checking.explanation",
        "analysis.checking.store_sizes",
        "analysis.checking.supply_arithmetic",
        "analysis.pricing.cash",
        "analysis.pricing.fuel_use",
        "analysis.relaxing.relaxed_plans",
        "analysis.runs.coded_frames",
        "analysis.runs.run_directory",
    ),
    (
        "analysis.chains.chain_terminal",
        "analysis.checking.production_check",
        "analysis.checking.supply_check",
        "analysis.pricing.tariff",
        "analysis.relaxing.savings",
        "analysis.runs.made_files",
        "analysis.runs.parts",
        "analysis.runs.run_lock",
        "analysis.runs.run_manifest",
        "analysis.runs.study_files",
    ),
    (
        "analysis.chains.chain_exports",
        "analysis.checking.warnings",
        "analysis.forecasting.forecast",
        "analysis.pricing.cost_lines",
        "analysis.pricing.plan_costs",
        "analysis.relaxing.relax_pictures",
        "analysis.runs.kept_plays",
        "analysis.runs.run_opening",
    ),
    (
        "analysis.chains.chain_run",
        "analysis.checking.checkup",
        "analysis.comparing.comparison",
        "analysis.forecasting.forecast_until",
        "analysis.forecasting.summary",
        "analysis.pricing.money",
        "analysis.relaxing.relaxed_plays",
        "analysis.runs.kept_points",
        "analysis.runs.finished_run",
    ),
    (
        "analysis.comparing.selection_run",
        "analysis.comparing.verdict",
        "analysis.forecasting.answer",
        "analysis.forecasting.pictures",
        "analysis.pricing.ledger",
        "analysis.studies.chosen_milestone",
    ),
    (
        "analysis.comparing.comparison_answer",
        "analysis.comparing.comparison_pictures",
        "analysis.comparing.selection_report",
        "analysis.forecasting.exports",
        "analysis.pricing.money_answer",
        "analysis.pricing.money_pictures",
        "analysis.pricing.money_terminal",
        "analysis.relaxing.relax_answer",
        "analysis.studies.sizing",
        "analysis.studies.sweep",
    ),
    (
        "analysis.comparing.comparison_exports",
        "analysis.comparing.comparison_tables",
        "analysis.field",
        "analysis.forecasting.terminal",
        "analysis.pricing.money_exports",
        "analysis.relaxing.relax_exports",
        "analysis.relaxing.relax_terminal",
        "analysis.studies.drivers",
        "analysis.studies.knees",
        "analysis.studies.sizing_answer",
        "analysis.updating.levels",
        "analysis.updating.update",
        "analysis.updating.update_history",
    ),
    (
        "analysis.comparing.comparison_run",
        "analysis.handing_on.sheets",
        "analysis.pricing.pricing_run",
        "analysis.relaxing.relax_run",
        "analysis.report",
        "analysis.studies.drivers_answer",
        "analysis.studies.sizing_picture",
        "analysis.studies.sweep_answer",
        "analysis.updating.drawn_pace",
        "analysis.updating.field_standing",
        "analysis.updating.log_notes",
        "analysis.updating.pace_answer",
        "analysis.updating.update_answer",
        "analysis.updating.update_pictures",
    ),
    (
        "analysis.handing_on.calendar_file",
        "analysis.handing_on.workbook",
        "analysis.studies.drivers_picture",
        "analysis.studies.sizing_run",
        "analysis.studies.sweep_pictures",
        "analysis.updating.pad_state",
    ),
    (
        "analysis.handing_on.plan_files",
        "analysis.studies.drivers_run",
        "analysis.studies.sweep_run",
        "analysis.updating.state_answer",
    ),
    ("analysis.forecasting.forecast_run", "analysis.updating.update_run"),
    ("analysis.page",),
    ("analysis.commands",),
    ("analysis.cli",),
    ("analysis",),
)


def modules(package: str) -> list[Path]:
    """Every module of a package."""
    return sorted((ROOT / package).rglob("*.py"))


def name_of(path: Path) -> str:
    """Dotted name of a module."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports_of(path: Path) -> set[str]:
    """Names of our own modules that a module imports, wherever in it, but for the type checker's eyes only."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    unseen = {id(node) for block in ast.walk(tree) if _for_types_only(block) for node in ast.walk(block)}
    found: set[str] = set()
    for node in ast.walk(tree):
        if id(node) in unseen:
            continue
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    ours = {name_of(each) for package in ("sim", "analysis") for each in modules(package)}
    return found & ours


def _for_types_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def layer(name: str, layers: tuple[tuple[str, ...], ...]) -> int:
    """Number of the layer a module belongs to: that of its longest prefix."""
    found = [
        (len(prefix), number)
        for number, prefixes in enumerate(layers)
        for prefix in prefixes
        if name == prefix or name.startswith(f"{prefix}.")
    ]
    return max(found)[1]


@pytest.mark.parametrize("path", modules("sim"), ids=name_of)
def test_sim_never_imports_analysis(path: Path) -> None:
    """The model knows nothing of what is made of it."""
    assert not {name for name in imports_of(path) if name.startswith("analysis")}


@pytest.mark.parametrize(
    ("path", "layers"),
    [(path, SIM) for path in modules("sim")] + [(path, ANALYSIS) for path in modules("analysis")],
    ids=lambda value: name_of(value) if isinstance(value, Path) else "",
)
def test_imports_only_go_down(path: Path, layers: tuple[tuple[str, ...], ...]) -> None:
    """A module imports from its own layer or from one below."""
    name = name_of(path)
    package = name.split(".")[0]
    too_high = {
        other
        for other in imports_of(path)
        if other.startswith(f"{package}.") and layer(other, layers) > layer(name, layers)
    }
    assert not too_high


def test_every_module_has_a_layer_of_its_own() -> None:
    """A new module is placed on purpose, not by falling through to the package itself."""
    placed = {prefix for layers in (SIM, ANALYSIS) for prefixes in layers for prefix in prefixes} - {"sim", "analysis"}
    for package in ("sim", "analysis"):
        for path in modules(package):
            name = name_of(path)
            assert name == package or any(name == one or name.startswith(f"{one}.") for one in placed), name
