"""Random small pads, stated as a planner would state them: every option on in some and off in others.

Each is consistent, and can be carried out given time: no job is too long for its shift, no stage too large for the
storage, water comes or is there, and there are frac stacks enough.
"""

from __future__ import annotations

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from tests.sim.stated_times import START, Stated, durations, maybe
from tests.sim.stated_units import units
from tests.sim.stated_wells import PEAK_BBL_PER_DAY, well_defaults, wells

LONG_DAYS = 3000  # more than any of these pads can take
SHORT_DAYS = st.integers(1, 25)
START_RULES = ("full stage on hand", "enough to finish", "as it comes")
TROUBLES: dict[str, SearchStrategy[Stated]] = {
    "screen-out": st.just({"chance": "20 %"}),
    "misrun": st.just({"chance": "20 %"}),
    "failed pressure test": st.just({"chance": "30 %"}),
    "stuck bit": st.just({}),
    "sand and debris": st.just({}),
    "pump failure": st.sampled_from(({}, {"every": "20 h", "repair_crews": 1})),
    "valve trouble": st.sampled_from(("resume", "repeat", "give up the rest")).map(
        lambda then: {"strikes": "pump stage", "every": "5 h", "lost": "40 min", "then": then}
    ),
}
STOPPED = ("everything", "crane", "water_lines", "preparation", "wireline", "pumping", "drill_out", "flowback")


def sampled(examples: int) -> settings:
    """So many random pads, the same in every run."""
    slow = [HealthCheck.too_slow, HealthCheck.data_too_large]
    return settings(max_examples=examples, deadline=None, derandomize=True, database=None, suppress_health_check=slow)


def group_sizes(sizes: list[int], how_many: int) -> list[int]:
    """How many wells each group gets; the last size repeats."""
    found: list[int] = []
    while sum(found) < how_many:
        found.append(min(sizes[min(len(found), len(sizes) - 1)], how_many - sum(found)))
    return found


@st.composite
def plans(draw: DrawFn, names: list[str], certain: bool) -> Stated:
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
    maybe(draw, stated, "keep_clear", st.integers(1, 2), one_in=4)
    maybe(draw, stated, "order", st.permutations(names))
    return stated


@st.composite
def water(draw: DrawFn, largest_bbl: int, certain: bool) -> Stated:
    """Tight or ample, with or without a transfer line; or a full storage that nothing flows into."""
    rule, erect = draw(st.sampled_from(START_RULES)), draw(durations(0, 900, certain))
    if draw(st.integers(0, 9)) == 0:
        storage = {"erect": erect, "capacity": "900 kbbl", "on_hand": "900 kbbl"}
        return {"start_rule": rule, "sources": [{"name": "Dry", "rate": 0}], "storage": storage}
    capacity = draw(st.integers(largest_bbl + 1, 3 * largest_bbl))
    storage = {"erect": erect, "capacity": f"{capacity} bbl"}
    levels = st.integers(0, capacity).map(lambda level: f"{level} bbl")
    maybe(draw, storage, "fill_to", levels)
    maybe(draw, storage, "on_hand", levels)
    rates = draw(st.lists(st.integers(200, 3000), min_size=1, max_size=2))
    sources = [{"name": f"Source {number}", "rate": f"{rate} bbl/h"} for number, rate in enumerate(rates)]
    stated: Stated = {"start_rule": rule, "sources": sources, "storage": storage}
    maybe(draw, stated, "transfer", transfers(certain))
    return stated


@st.composite
def transfers(draw: DrawFn, certain: bool) -> Stated:
    """A line that limits what the sources deliver, or does not."""
    return {"limit": f"{draw(st.integers(300, 5000))} bbl/h", "lay": draw(durations(0, 2000, certain))}


@st.composite
def misfortunes(draw: DrawFn) -> Stated:
    """Troubles and weather."""
    stated: Stated = {}
    names = draw(st.lists(st.sampled_from(sorted(TROUBLES)), max_size=4, unique=True))
    if names:
        stated["troubles"] = {name: draw(TROUBLES[name]) for name in names}
        maybe(draw, stated, "trouble_factor", st.sampled_from((0, 0.5, 3)), one_in=4)
    if draw(st.booleans()):
        work = draw(st.lists(st.sampled_from(STOPPED), min_size=1, max_size=3, unique=True))
        spells = {"april": {"good": "200 h", "bad": 0}, "other_months": {"good": "30 h", "bad": "9 h"}}
        stated["weather"] = {"spells": spells, "stops": dict.fromkeys(work, "bad weather")}
    return stated


def enough_stacks(stated: Stated) -> SearchStrategy[int]:
    """Frac stacks for the largest group; for all wells, where none is drilled out before others are fractured."""
    plan, how_many = stated["strategy"], len(stated["wells"])
    sizes = plan["wells_in_rotation"]
    largest = max(group_sizes(sizes if isinstance(sizes, list) else [sizes], how_many))
    late = plan["drill_out"] == "after the pad"
    return st.integers(how_many if late else largest, how_many)


def largest_draw_bbl(stated: Stated) -> int:
    """The most that the wells pumped together can want of the storage for a stage."""
    fluids = sorted(int(well["stage_design"]["fluid"].split()[0]) for well in stated["wells"])
    return sum(fluids[-stated["strategy"]["pumped_together"] :])


@st.composite
def stated_pads(
    draw: DrawFn, days: SearchStrategy[int] | None = None, certain: bool = False, calm: bool = False
) -> Stated:
    """A whole scenario as plain data. `days` is the horizon; without it all work gets done.

    `certain` pads hold nothing uncertain; `calm` ones no troubles and no weather.
    """
    horizon = LONG_DAYS if days is None else draw(days)
    latest_h = min(24 * horizon, 500)
    names = [f"Well {number}" for number in range(1, draw(st.integers(1, 6)) + 1)]
    stated: Stated = {
        "start": f"{START:%Y-%m-%d %H:%M}",
        "horizon": f"{horizon} day",
        "strategy": draw(plans(names, certain)),
        "well_defaults": draw(well_defaults(certain)),
        "wells": [draw(wells(name, latest_h, certain)) for name in names],
        "units": draw(units(latest_h, certain)),
    }
    if draw(st.integers(0, 3)):
        stated["water"] = draw(water(largest_draw_bbl(stated), certain))
    maybe(draw, stated, "shifts", st.sampled_from(({}, {"crew_change": "20 min", "every": "8 h"})), one_in=3)
    maybe(draw, stated["units"], "frac_stacks", enough_stacks(stated))
    limits = st.integers(PEAK_BBL_PER_DAY * 5 // 4, 4 * PEAK_BBL_PER_DAY).map(
        lambda limit: {"limit": f"{limit} bbl/day"}
    )
    maybe(draw, stated, "facility", limits, one_in=4)
    return stated if certain or calm else stated | draw(misfortunes())
