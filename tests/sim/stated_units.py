"""Random units, as a planner would state them: one or two of each kind, alike or not, at any hours."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from tests.sim.stated_times import SHORTEST_SHIFT_MIN, WINDOWS, Stated, durations, maybe, moments

RIGGING = {"rig_up": (0, 600), "rig_down": (0, 400)}
KINDS: dict[str, dict[str, tuple[int, int]]] = {
    "preparation_crews": {},
    "pumping_fleets": RIGGING,
    "wireline_units": RIGGING | {"plug_and_perforate": (5, 30), "turnaround": (10, 60)},
    "milling_rigs": RIGGING | {"per_plug": (2, 20), "sweep": (10, 90)},
    "flowback_spreads": {"rig_up": (0, 600), "duration": (60, 9000), "turn_in_line": (30, 2000)},
}
"""Durations of each kind, in minutes."""

LEARNING = ("pumping_fleets", "wireline_units", "milling_rigs")
SHARED_JOBS = (["nipple up", "pressure test"], ["toe preparation", "injection test", "pressure test"])


@st.composite
def units(draw: DrawFn, latest_h: int, certain: bool) -> Stated:
    """Each kind as one entry, or as two that differ; two kinds of crews may share the jobs between them."""
    stated: Stated = {
        kind: draw(st.lists(unit_entries(kind, latest_h, certain), min_size=1, max_size=2)) for kind in KINDS
    }
    crews = stated["preparation_crews"]
    if len(crews) == 2 and draw(st.booleans()):
        for crew, jobs in zip(crews, SHARED_JOBS, strict=True):
            crew["does"] = jobs
    return stated


@st.composite
def unit_entries(draw: DrawFn, kind: str, latest_h: int, certain: bool) -> Stated:
    """One or two units, arriving or on call, around the clock or not."""
    stated: Stated = {"hours": draw(st.sampled_from(WINDOWS)), "count": draw(st.integers(1, 2))}
    maybe(draw, stated, "at_shift_end", st.just("fit the job in"))
    maybe(draw, stated, "arrives", moments(0, latest_h))
    for key, (low, high) in KINDS[kind].items():
        longest = min(high, SHORTEST_SHIFT_MIN) if "at_shift_end" in stated else high
        stated[key] = draw(durations(low, longest, certain))
    if kind in LEARNING:
        maybe(draw, stated, "learning", st.sampled_from(({}, {"doubling": "80 %", "done_before": 5})), one_in=4)
    for key, value in _of_their_own(kind, certain).items():
        maybe(draw, stated, key, value)
    return stated


def _of_their_own(kind: str, certain: bool) -> dict[str, SearchStrategy[Any]]:
    """What only one kind of unit states."""
    if kind == "pumping_fleets":
        return {
            "rate_limit": st.integers(50, 160).map(lambda rate: f"{rate} bbl/min"),
            "spare_pumps": st.integers(0, 5),
        }
    if kind == "milling_rigs":
        return {"sweep_every": st.integers(1, 4)}
    if kind == "flowback_spreads":
        return {"choke_steps": st.lists(durations(60, 4000, certain), min_size=1, max_size=3)}
    return {}
