"""What runs mean: many replications in, tables, dates with their chances and pictures out.

played = analysis.forecast_of(sim.load("pad.yaml"), 300, seed=1, workers=2)
print(analysis.answer_of(analysis.summarise(played)))
hours = {"Every well on production": played.pads["all_on_production_h"].to_numpy()}
ax = analysis.chance_curve(hours, played.scenario.start, horizon_h=played.scenario.horizon)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from analysis.checking.averages import plan_of_averages
    from analysis.figures.chance_curve import chance_curve
    from analysis.figures.tank_level import tank_level
    from analysis.figures.unit_gantt import gantt_by_unit
    from analysis.figures.well_gantt import gantt_by_well
    from analysis.forecasting.answer import answer as answer_of
    from analysis.forecasting.forecast import Forecast, representative
    from analysis.forecasting.forecast import forecast as forecast_of
    from analysis.forecasting.summary import Summary, summarise
    from analysis.measures import measure
    from analysis.runs.log_frames import intervals_of, levels_of
    from analysis.runs.run_directory import read_manifest, read_table
    from analysis.statistics import mean_interval, quantile_interval

_HOMES = {
    "Forecast": "analysis.forecasting.forecast",
    "Summary": "analysis.forecasting.summary",
    "answer_of": "analysis.forecasting.answer:answer",
    "chance_curve": "analysis.figures.chance_curve",
    "forecast_of": "analysis.forecasting.forecast:forecast",
    "gantt_by_unit": "analysis.figures.unit_gantt",
    "gantt_by_well": "analysis.figures.well_gantt",
    "intervals_of": "analysis.runs.log_frames",
    "levels_of": "analysis.runs.log_frames",
    "mean_interval": "analysis.statistics",
    "measure": "analysis.measures",
    "plan_of_averages": "analysis.checking.averages",
    "quantile_interval": "analysis.statistics",
    "read_manifest": "analysis.runs.run_directory",
    "read_table": "analysis.runs.run_directory",
    "representative": "analysis.forecasting.forecast",
    "summarise": "analysis.forecasting.summary",
    "tank_level": "analysis.figures.tank_level",
}  # names of modules are not among them: importing such a module would put it in the place of the function
__all__ = [
    "Forecast",
    "Summary",
    "answer_of",
    "chance_curve",
    "forecast_of",
    "gantt_by_unit",
    "gantt_by_well",
    "intervals_of",
    "levels_of",
    "mean_interval",
    "measure",
    "plan_of_averages",
    "quantile_interval",
    "read_manifest",
    "read_table",
    "representative",
    "summarise",
    "tank_level",
]


def __getattr__(name: str) -> Any:
    """Import what is asked for only then: the command line and workers need few of these."""
    if name not in _HOMES:
        raise AttributeError(f"module 'analysis' has no attribute {name!r}")
    from importlib import import_module

    module, _, called = _HOMES[name].partition(":")
    return getattr(import_module(module), called or name)


def __dir__() -> list[str]:
    """Names are found by completion before they are imported."""
    return sorted({*globals(), *__all__})
