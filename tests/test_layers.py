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
        "analysis.asked",
        "analysis.cautions",
        "analysis.chain_groups",
        "analysis.examples",
        "analysis.goals",
        "analysis.haulage_arithmetic",
        "analysis.limits_written",
        "analysis.log_frames",
        "analysis.observed",
        "analysis.paths_in_plan",
        "analysis.progress",
        "analysis.quantile_functions",
        "analysis.selection",
        "analysis.sensitivity",
        "analysis.stage_schedule",
        "analysis.statistics",
        "analysis.supply_measures",
        "analysis.update_log",
        "analysis.well_flow",
        "analysis.whole_files",
        "analysis.wording",
    ),
    (
        "analysis.averages",
        "analysis.chain",
        "analysis.estimates",
        "analysis.field_standing",
        "analysis.figures",
        "analysis.knee",
        "analysis.limits_of_units",
        "analysis.measures",
        "analysis.multiple_tests",
        "analysis.pad_measures",
        "analysis.pairs",
        "analysis.plans",
        "analysis.relax",
        "analysis.supply_summary",
    ),
    (
        "analysis.amounts",
        "analysis.arithmetic",
        "analysis.chain_summary",
        "analysis.comparison_wording",
        "analysis.control_variates",
        "analysis.design_check",
        "analysis.explain",
        "analysis.limits",
        "analysis.precision",
        "analysis.production",
        "analysis.ranking",
        "analysis.run_tables",
        "analysis.supply_table",
        "analysis.update",
    ),
    (
        "analysis.cash",
        "analysis.chain_answer",
        "analysis.chain_pictures",
        "analysis.coded_frames",
        "analysis.explanation",
        "analysis.fuel_use",
        "analysis.relaxed_plans",
        "analysis.run_directory",
        "analysis.supply_arithmetic",
    ),
    (
        "analysis.chain_terminal",
        "analysis.made_files",
        "analysis.parts",
        "analysis.production_check",
        "analysis.run_lock",
        "analysis.savings",
        "analysis.study_files",
        "analysis.supply_check",
        "analysis.tariff",
        "analysis.update_history",
    ),
    (
        "analysis.chain_exports",
        "analysis.cost_lines",
        "analysis.forecast",
        "analysis.relax_answer",
        "analysis.relax_pictures",
        "analysis.run_opening",
        "analysis.update_answer",
        "analysis.update_pictures",
        "analysis.warnings",
    ),
    (
        "analysis.chain_run",
        "analysis.checkup",
        "analysis.comparison",
        "analysis.finished_run",
        "analysis.forecast_until",
        "analysis.money",
        "analysis.relax_exports",
        "analysis.relax_terminal",
        "analysis.summary",
        "analysis.update_run",
    ),
    (
        "analysis.answer",
        "analysis.chosen_milestone",
        "analysis.ledger",
        "analysis.pictures",
        "analysis.relax_run",
        "analysis.selection_run",
        "analysis.verdict",
    ),
    (
        "analysis.comparison_answer",
        "analysis.comparison_pictures",
        "analysis.exports",
        "analysis.money_answer",
        "analysis.money_pictures",
        "analysis.money_terminal",
        "analysis.selection_report",
        "analysis.sizing",
        "analysis.sweep",
    ),
    (
        "analysis.comparison_exports",
        "analysis.comparison_tables",
        "analysis.drivers",
        "analysis.field",
        "analysis.money_exports",
        "analysis.sizing_answer",
        "analysis.terminal",
    ),
    (
        "analysis.comparison_run",
        "analysis.drivers_answer",
        "analysis.pricing_run",
        "analysis.report",
        "analysis.sheets",
        "analysis.sizing_picture",
        "analysis.sweep_answer",
    ),
    (
        "analysis.calendar_file",
        "analysis.drivers_picture",
        "analysis.sizing_run",
        "analysis.sweep_pictures",
        "analysis.workbook",
    ),
    (
        "analysis.drivers_run",
        "analysis.plan_files",
        "analysis.sweep_run",
    ),
    ("analysis.forecast_run",),
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
