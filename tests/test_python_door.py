"""`import sim, analysis` as in a notebook: the documented names, found lazily, and pictures on axes of one's own."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

import analysis
import sim

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("package", [sim, analysis], ids=["sim", "analysis"])
def test_every_public_name_is_there_and_no_other(package: ModuleType) -> None:
    """`__all__`, the table of homes and what type checkers see are one list, in order."""
    names = list(package.__all__)
    tree = ast.parse(Path(str(package.__file__)).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = [alias.asname or alias.name for node in block.body for alias in node.names]  # type: ignore[attr-defined]
    assert names == sorted(package._HOMES) == sorted(seen)
    for name in names:
        assert getattr(package, name).__doc__, name
        assert name in dir(package)
    with pytest.raises(AttributeError, match=f"module '{package.__name__}' has no attribute 'nonsense'"):
        package.nonsense  # noqa: B018 # looking is what is tested


@pytest.mark.parametrize("package", [sim, analysis], ids=["sim", "analysis"])
def test_no_public_name_hides_behind_a_module(package: ModuleType) -> None:
    """A function called like a module would be the module, once somebody had imported that."""
    folder = Path(str(package.__file__)).parent
    modules = {path.stem for path in [*folder.glob("*.py"), *folder.iterdir()]}
    assert not modules & set(package.__all__)


def test_type_checkers_see_what_is_given() -> None:
    """The name that a type checker imports is the object that comes at run time."""
    tree = ast.parse(Path(str(analysis.__file__)).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    for node in block.body:
        assert isinstance(node, ast.ImportFrom)
        for alias in node.names:
            home = importlib.import_module(str(node.module))
            assert getattr(analysis, alias.asname or alias.name) is getattr(home, alias.name)


def test_importing_both_is_cheap() -> None:
    """Nothing heavy before it is used."""
    asked = "import sys, sim, analysis; print({'numpy', 'pandas', 'matplotlib', 'pydantic'} & set(sys.modules))"
    said = subprocess.run([sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    assert said == "set()\n"


def test_documented_names_are_the_public_ones() -> None:
    """README lists what each package offers, all of it."""
    for package in (sim, analysis):
        missing = [name for name in package.__all__ if f"`{name}`" not in README]
        assert not missing


@pytest.fixture(scope="module")
def played() -> Any:
    return analysis.forecast_of(sim.load(ROOT / "scenarios" / "six_well_pad.yaml"), 6, seed=1)


def test_frames_fit_each_other(played: Any) -> None:
    """A row of the pad for each replication, of every well for each, and what is read of them agrees."""
    assert list(played.pads["replication"]) == list(range(6))
    assert len(played.wells) == 6 * len(played.scenario.wells)
    last = played.wells.groupby("replication")["on_production_h"].max()
    assert (last.to_numpy() == played.pads["all_on_production_h"].to_numpy()).all()
    summary = analysis.summarise(played)
    assert isinstance(summary, analysis.Summary)
    assert analysis.answer_of(summary)[0].startswith(played.scenario.title)
    middle = analysis.quantile_interval(played.pads["all_on_production_h"].to_numpy(), 0.5)
    assert middle.value == summary.milestone("Every well on production").quantiles[1].value


@pytest.mark.parametrize("figure", ["gantt_by_unit", "gantt_by_well", "tank_level", "chance_curve"])
@pytest.mark.parametrize("own", [False, True], ids=["its own axes", "given axes"])
def test_pictures_take_axes_or_make_them_and_give_them_back(played: Any, figure: str, own: bool) -> None:
    """So that several stand side by side in a notebook; nothing is left open for pyplot to warn of."""
    start, log = played.scenario.start, sim.simulate(played.scenario, analysis.representative(played), played.seed)
    intervals, levels = analysis.intervals_of(log), analysis.levels_of(log)
    hours = {"last well": played.pads["all_on_production_h"].to_numpy()}
    ax = Figure(figsize=(8, 4)).add_subplot() if own else None
    if figure == "tank_level":
        drawn = analysis.tank_level(levels, intervals, played.scenario.water.storage.capacity, start, ax)
    elif figure == "chance_curve":
        drawn = analysis.chance_curve(hours, start, ax, horizon_h=played.scenario.horizon)
    else:
        drawn = getattr(analysis, figure)(intervals, start, ax)
    assert isinstance(drawn, Axes)
    assert ax is None or drawn is ax
    assert drawn.has_data()
