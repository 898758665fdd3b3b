"""What if: a few numbers of the plan moved, against the plan as it is, under the same luck.

The first answer has to come while the planner still holds the slider, so replications are played in slices of time by
one worker that is kept warm; asking again goes on where the last slice ended. How many there are depends on the
machine, what each of them says does not.
"""

from __future__ import annotations

import multiprocessing
import threading
import time
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from typing import Any

from analysis.page.folder import Folder, NotAllowedError
from analysis.page.levers import changes_of
from analysis.page.live import day_of
from sim.pool import settle_in
from sim.scenario import Scenario, ScenarioError, changed, read, validate
from sim.scenario.document import Place

FIRST_SLICE_S, SLICE_S, ENOUGH, MOST_KEPT = 0.4, 0.7, 400, 60

Hours = list[tuple[float, float]]  # first production, every well on production


def play_slice(scenario: Scenario, first: int, most: int, seconds: float) -> Hours:
    """Replications from `first` on, as many as fit into the time, one at least. Runs in the worker."""
    from analysis.measures import measure
    from sim.pad import simulate

    ends, found = time.monotonic() + seconds, list[tuple[float, float]]()
    while len(found) < most and (not found or time.monotonic() < ends):
        pad = measure(simulate(scenario, first + len(found), 0)).pad
        found.append((pad.first_production_h, pad.all_on_production_h))
    return found


class WhatIf:
    """Plans with their levers moved, and the replications played of each so far."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._played: dict[str, tuple[Scenario, Hours]] = {}
        self._one_at_a_time = threading.Lock()
        self._pool: ProcessPoolExecutor | None = None

    def warm(self, plan: str, text: str, version: str) -> None:
        """Have the worker started, and some of the plan itself played, before a number is moved."""
        with self._one_at_a_time:
            self._worker().submit(_import_what_is_needed)
        with suppress(ScenarioError, NotAllowedError, RuntimeError):  # told once somebody asks
            self.answer(plan, text, version, {})

    def answer(self, plan: str, text: str, version: str, moved: dict[str, float]) -> dict[str, Any]:
        """Dates of the plan and of the plan as changed, by the replications that both have by now."""
        key = f"{plan} {version}"
        if not moved:
            base = self._more(key, plan, text, {})
            return _told(base, base)
        other = self._more(f"{key} {sorted(moved.items())}", plan, text, moved)
        known = self._played.get(key)
        if known is None or len(known[1]) < len(other[1]):
            known = self._more(key, plan, text, {})
        return _told(known, other)

    def close(self) -> None:
        """End the worker."""
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _more(self, key: str, plan: str, text: str, moved: dict[str, float]) -> tuple[Scenario, Hours]:
        with self._one_at_a_time:
            known = self._played.pop(key) if key in self._played else None
            scenario, hours = known or (self._plan(plan, text, moved), [])
            if len(hours) < ENOUGH:
                hours = hours + self._slice(scenario, len(hours))
            self._played[key] = (scenario, hours)
            while len(self._played) > MOST_KEPT:
                del self._played[next(iter(self._played))]
            return scenario, hours

    def _plan(self, plan: str, text: str, moved: dict[str, float]) -> Scenario:
        document = read(self._folder.there(plan), text=text, confined=True)
        base = validate(document)
        return validate(changed(document, changes_of(base, moved), Place("what if", 0))) if moved else base

    def _slice(self, scenario: Scenario, first: int) -> Hours:
        from sim.pad import StuckError

        try:
            return (
                self._worker()
                .submit(play_slice, scenario, first, ENOUGH - first, SLICE_S if first else FIRST_SLICE_S)
                .result()
            )
        except BrokenProcessPool as error:
            self._pool = None
            raise NotAllowedError("the worker that plays this was lost; try again") from error
        except StuckError as error:
            raise ScenarioError([]) from error

    def _worker(self) -> ProcessPoolExecutor:
        if self._pool is None:
            context = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(1, mp_context=context, initializer=settle_in)
        return self._pool


def _import_what_is_needed() -> None:
    from importlib import import_module

    for name in ("analysis.measures", "sim.pad", "sim.scenario.scenario"):
        import_module(name)


def _told(base: tuple[Scenario, Hours], other: tuple[Scenario, Hours]) -> dict[str, Any]:
    from analysis.statistics import mean_interval

    n = min(len(base[1]), len(other[1]))
    later = [b[1] - a[1] for a, b in zip(base[1], other[1], strict=False)]
    known = [each / 24 for each in later if abs(each) < float("inf")]
    difference = mean_interval(known) if len(known) == n and n > 1 else None
    return {
        "replications": n,
        "enough": n >= ENOUGH,
        "start": base[0].start.isoformat(),
        "plan": _dates(base[0], base[1][:n]),
        "changed": _dates(other[0], other[1][:n]),
        "days": None if difference is None else [difference.mean, difference.low, difference.high],
    }


def _dates(scenario: Scenario, hours: Hours) -> dict[str, Any]:
    from analysis.statistics import quantile_interval

    names = ("First production", "Every well on production")
    return {
        name: [
            _date(scenario, quantile_interval([each[place] for each in hours], chance).value)
            for chance in (0.1, 0.5, 0.9)
        ]
        for place, name in enumerate(names)
    }


def _date(scenario: Scenario, hours: float) -> dict[str, Any]:
    return {"date": day_of(scenario.start, hours), "hours": hours}
