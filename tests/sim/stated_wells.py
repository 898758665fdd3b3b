"""Random wells with a few stages, and what they share, as a planner would state them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.sim.stated_times import SHORTEST_SHIFT_MIN, Stated, durations, maybe, moments, stage_durations

TOE_METHODS = ("toe sleeve", "wet shoe", "tubing-conveyed perforating", "none")
LATERAL_FT = 6000
PEAK_BBL_PER_DAY = 900


@st.composite
def well_defaults(draw: DrawFn, certain: bool) -> Stated:
    """What the wells share; each job of preparation fits into the shortest shift."""
    one_job = durations(0, SHORTEST_SHIFT_MIN, certain)
    design: Stated = {"fluid": "4000 bbl", "rate": f"{draw(st.integers(40, 110))} bbl/min"}
    design["pump_time"] = draw(stage_durations(20, 200, certain))
    design["wireline_time"] = draw(stage_durations(40, 300, certain))
    maybe(draw, design, "pump_down", st.sampled_from((0, "60 bbl", "300 bbl")))
    return {
        "lateral_length": f"{LATERAL_FT} ft",
        "preparation": {"nipple_up": draw(one_job), "pressure_test": draw(one_job)},
        "toe": {"method": "toe sleeve", "time": draw(one_job)},
        "production": {"peak": f"{PEAK_BBL_PER_DAY} bbl/day", "decline": "60 %", "b": 0},
        "stage_design": design,
    }


@st.composite
def wells(draw: DrawFn, name: str, latest_h: int, certain: bool) -> Stated:
    """One well with a few stages, and what it has of its own."""
    stages = draw(st.integers(1, 8))
    stated: Stated = {"name": name, "measured_depth": f"{draw(st.integers(9, 24))}000 ft"}
    stated |= draw(st.sampled_from(({"stages": stages}, {"stage_length": f"{LATERAL_FT / stages:.2f} ft"})))
    stated["stage_design"] = {"fluid": f"{draw(st.integers(5, 90))}00 bbl"}
    by_stage = st.lists(durations(20, 300, certain), min_size=stages, max_size=stages).map(_one_by_one)
    maybe(draw, stated["stage_design"], draw(st.sampled_from(("pump_time", "wireline_time"))), by_stage, one_in=4)
    maybe(draw, stated, "toe", st.sampled_from(TOE_METHODS).map(_of_method))
    maybe(draw, stated, "rig_release", moments(-400, latest_h))
    watched = durations(60, 9000, certain).map(_tested)
    maybe(draw, stated, "injection_test", watched, one_in=4)
    return stated


def _one_by_one(times: list[Any]) -> Stated:
    return {"by_stage": times}


def _of_method(method: str) -> Stated:
    return {"method": method}


def _tested(watch: Any) -> Stated:
    return {"set_up": "2 h", "watch": watch}
