"""Random small pads, stated as a planner would state them: every option on in some and off in others.

Each is consistent, and can be carried out given time: no job is too long for its shift, no stage too large for the
storage, and water comes or is there.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

Stated = dict[str, Any]
Draw = Any  # hypothesis calls it DrawFn and types it too narrowly for nested calls

LONG_DAYS = 1500  # more than any of these pads can take
SHORT_DAYS = st.integers(1, 25)
WINDOWS = ("around the clock", "day shift", "18:00 - 06:00", "07:30 - 19:00", "23:00 - 03:00", "06:00 - 10:00")
SHORTEST_SHIFT_MIN = 240
TOE_METHODS = ("toe sleeve", "wet shoe", "tubing-conveyed perforating", "none")
START_RULES = ("full stage on hand", "enough to finish", "as it comes")
BOUNDED = ("fixed", "triangular", "pert", "uniform", "empirical")
SHAPES = (*BOUNDED, "by percentiles", "lognormal", "gamma", "weibull", "exponential")


def maybe(draw: Draw, stated: Stated, key: str, value: st.SearchStrategy[Any]) -> None:
    """State `key` in one of two pads, and leave it to its default in the other."""
    if draw(st.booleans()):
        stated[key] = draw(value)


@st.composite
def durations(draw: Draw, low_min: int, high_min: int, certain: bool = False) -> Any:
    """A duration of about so many minutes, fixed or of any shape; bounded shapes stay within the two."""
    shape = "fixed" if certain else draw(st.sampled_from(SHAPES))
    low = draw(st.integers(low_min, high_min))
    high = draw(st.integers(low + 2, high_min + 2)) if shape != "fixed" else low
    middle = (low + high) // 2
    a, b, c = (f"{value} min" for value in (min(low, high_min - 2), min(middle, high_min - 1), min(high, high_min)))
    return {
        "fixed": a if shape != "fixed" else f"{low} min",
        "triangular": {"triangular": [a, b, c]},
        "pert": {"pert": [a, b, c]},
        "uniform": {"uniform": [a, c]},
        "empirical": {"empirical": [c, a, b, b]},
        "by percentiles": {"lognormal": {"P10": f"{low + 1} min", "P90": f"{high + 1} min"}},
        "lognormal": {"lognormal": {"mean": f"{middle + 1} min", "cv": 0.4}},
        "gamma": {"gamma": {"mean": f"{middle + 1} min", "cv": 0.7}},
        "weibull": {"weibull": {"mean": f"{middle + 1} min", "shape": 1.5}},
        "exponential": {"exponential": f"{middle + 1} min"},
    }[shape]


@st.composite
def well_defaults(draw: Draw, certain: bool) -> Stated:
    """What the wells share; each job of preparation fits into the shortest shift."""
    one_job = durations(0, SHORTEST_SHIFT_MIN, certain)
    design: Stated = {"fluid": "4000 bbl", "rate": f"{draw(st.integers(40, 110))} bbl/min"}
    design["pump_time"] = draw(stage_durations(20, 200, certain))
    design["wireline_time"] = draw(stage_durations(40, 300, certain))
    maybe(draw, design, "pump_down", st.sampled_from((0, "60 bbl", "300 bbl")))
    return {
        "lateral_length": "6000 ft",
        "preparation": {"nipple_up": draw(one_job), "pressure_test": draw(one_job)},
        "toe": {"method": "toe sleeve", "time": draw(one_job)},
        "stage_design": design,
    }


@st.composite
def stage_durations(draw: Draw, low_min: int, high_min: int, certain: bool) -> Any:
    """A duration of every stage: stated, or from the design."""
    manner = draw(st.sampled_from(("stated", "from design", "with factor")))
    if manner == "from design":
        return manner
    if manner == "stated":
        return draw(durations(low_min, high_min, certain))
    factors = (1.2, 0.9) if certain else (1.2, {"pert": [0.9, 1.0, 1.5]}, {"uniform": [0.8, 1.3]})
    return {"from_design": {"factor": draw(st.sampled_from(factors)), "plus": draw(durations(0, 30, certain))}}


@st.composite
def wells(draw: Draw, name: str, latest_h: int, certain: bool) -> Stated:
    """One well with a few stages, and what it has of its own."""
    stages = draw(st.integers(1, 8))
    stated: Stated = {"name": name, "measured_depth": f"{draw(st.integers(9, 24))}000 ft"}
    stated |= draw(st.sampled_from(({"stages": stages}, {"stage_length": f"{6000 / stages:.2f} ft"})))
    design: Stated = {"fluid": f"{draw(st.integers(5, 90))}00 bbl"}
    each = durations(20, 300, certain)
    by_stage = st.lists(each, min_size=stages, max_size=stages).map(lambda times: {"by_stage": times})
    if draw(st.integers(0, 3)) == 3:
        design[draw(st.sampled_from(("pump_time", "wireline_time")))] = draw(by_stage)
    maybe(draw, stated, "toe", st.sampled_from(TOE_METHODS).map(lambda method: {"method": method}))
    maybe(draw, stated, "rig_release", moments(-400, latest_h))
    if draw(st.integers(0, 3)) == 3:
        stated["injection_test"] = {"set_up": "2 h", "watch": draw(durations(60, 9000, certain))}
    return stated | {"stage_design": design}


def moments(first_h: int, last_h: int) -> st.SearchStrategy[str]:
    """Dates and times, in hours after the start of every pad."""
    return st.integers(first_h, last_h).map(_moment)


def _moment(hours: int) -> str:
    """Hours after 2027-03-01 06:00."""
    from datetime import datetime, timedelta

    return f"{datetime(2027, 3, 1, 6) + timedelta(hours=hours):%Y-%m-%d %H:%M}"


RIGGING = {"rig_up": (0, 600), "rig_down": (0, 400)}
KINDS: dict[str, dict[str, tuple[int, int]]] = {
    "preparation_crews": {},
    "pumping_fleets": RIGGING,
    "wireline_units": RIGGING | {"plug_and_perforate": (5, 30), "turnaround": (10, 60)},
    "milling_rigs": RIGGING | {"per_plug": (2, 20)},
    "flowback_spreads": {"rig_up": (0, 600), "duration": (60, 9000), "turn_in_line": (30, 2000)},
}


@st.composite
def unit_entries(draw: Draw, kind: str, latest_h: int, certain: bool) -> Stated:
    """An entry of one kind: one or two units, arriving or on call, around the clock or not."""
    stated: Stated = {"hours": draw(st.sampled_from(WINDOWS)), "count": draw(st.integers(1, 2))}
    fits = draw(st.booleans())
    if fits:
        stated["at_shift_end"] = "fit the job in"
    maybe(draw, stated, "arrives", moments(0, latest_h))
    for key, (low, high) in KINDS[kind].items():
        stated[key] = draw(durations(low, min(high, SHORTEST_SHIFT_MIN) if fits else high, certain))
    if kind == "pumping_fleets":
        stated["rate_limit"] = f"{draw(st.integers(50, 160))} bbl/min"
    return stated


@st.composite
def units(draw: Draw, latest_h: int, certain: bool) -> Stated:
    """Each kind as one entry, or as two that differ."""
    return {
        kind: draw(st.lists(unit_entries(kind, latest_h, certain), min_size=1, max_size=2))
        for kind in KINDS
    }


def group_sizes(sizes: list[int], how_many: int) -> list[int]:
    """How many wells each group gets; the last size repeats."""
    found: list[int] = []
    while sum(found) < how_many:
        found.append(min(sizes[min(len(found), len(sizes) - 1)], how_many - sum(found)))
    return found


@st.composite
def plans(draw: Draw, names: list[str], certain: bool) -> Stated:
    """A strategy for these wells."""
    sizes = draw(st.lists(st.integers(1, len(names)), min_size=1, max_size=3))
    stated: Stated = {
        "wells_in_rotation": sizes[0] if len(sizes) == 1 else sizes,
        "pumped_together": draw(st.integers(1, min(3, max(group_sizes(sizes, len(names)))))),
        "next_well": draw(st.sampled_from(("alternate", "first ready", "least advanced", "as listed"))),
        "pairs": draw(st.sampled_from(("as listed", "any that are ready"))),
        "swap": {
            "time": draw(durations(0, 60, certain)),
            "when": draw(st.sampled_from(("as soon as the fleet is free", "once the next well is ready"))),
        },
        "between_groups": draw(durations(0, 300, certain)),
        "drill_out": draw(st.sampled_from(("after the group", "after the pad"))),
    }
    maybe(draw, stated, "order", st.permutations(names))
    return stated


@st.composite
def water(draw: Draw, largest_bbl: int, certain: bool) -> Stated:
    """Tight or ample, with or without a transfer line; or a full storage that nothing flows into."""
    storage: Stated = {"erect": draw(durations(0, 900, certain))}
    if draw(st.integers(0, 9)) == 0:
        storage |= {"capacity": "900 kbbl", "on_hand": "900 kbbl"}
        return {"sources": [{"name": "None", "rate": 0}], "storage": storage, "start_rule": draw(rules())}
    capacity = draw(st.integers(largest_bbl + 100, 3 * largest_bbl))
    storage["capacity"] = f"{capacity} bbl"
    maybe(draw, storage, "fill_to", st.integers(0, capacity).map(lambda level: f"{level} bbl"))
    maybe(draw, storage, "on_hand", st.integers(0, capacity).map(lambda level: f"{level} bbl"))
    rates = draw(st.lists(st.integers(200, 3000), min_size=1, max_size=2))
    stated: Stated = {
        "start_rule": draw(rules()),
        "sources": [{"name": f"Source {number}", "rate": f"{rate} bbl/h"} for number, rate in enumerate(rates)],
        "storage": storage,
    }
    line = st.builds(lambda limit, lay: {"limit": f"{limit} bbl/h", "lay": lay}, st.integers(300, 5000), durations(0, 2000, certain))
    maybe(draw, stated, "transfer", line)
    return stated


def rules() -> st.SearchStrategy[str]:
    """When a stage may start."""
    return st.sampled_from(START_RULES)


@st.composite
def stated_pads(draw: Draw, certain: bool = False, days: st.SearchStrategy[int] | None = None) -> Stated:
    """A whole scenario as plain data; `certain` ones hold nothing uncertain, `days` is the horizon."""
    horizon = draw(days) if days is not None else LONG_DAYS
    latest_h = min(24 * horizon, 500)
    names = [f"Well {number}" for number in range(1, draw(st.integers(1, 6)) + 1)]
    stated: Stated = {
        "start": "2027-03-01 06:00",
        "horizon": f"{horizon} day",
        "strategy": draw(plans(names, certain)),
        "well_defaults": draw(well_defaults(certain)),
        "wells": [draw(wells(name, latest_h, certain)) for name in names],
        "units": draw(units(latest_h, certain)),
    }
    together = stated["strategy"]["pumped_together"]
    fluids = sorted(int(well["stage_design"]["fluid"].split()[0]) for well in stated["wells"])
    if draw(st.integers(0, 3)):
        stated["water"] = draw(water(sum(fluids[-together:]), certain))
    return stated
