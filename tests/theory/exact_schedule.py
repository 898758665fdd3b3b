"""What no dispatch of a pad can beat, proved by CP-SAT (OR-tools), and what a given order of work must take."""

from __future__ import annotations

from itertools import combinations, pairwise

import networkx as nx
from ortools.sat.python import cp_model

from sim import activities
from sim.log import Log
from tests.theory.pumping import pumpings, work
from tests.theory.random_pads import Pair, Pumping, RandomPad, Run

HORIZON = 20_000


def proved_optimum(plan: RandomPad) -> int:
    """Least makespan of any order; swaps may overlap wireline, rotations follow one another after a move."""
    model = cp_model.CpModel()
    span = model.new_int_var(0, HORIZON, "")
    opened = model.new_constant(0)
    for pairs in plan.rotations:
        over = model.new_int_var(0, HORIZON, "")
        _add_rotation(model, plan, pairs, opened, over)
        model.add(span >= over)
        opened = model.new_int_var(0, HORIZON, "")
        model.add(opened == over + plan.move)
    model.minimize(span)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_deterministic_time = 20
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def _add_rotation(
    model: cp_model.CpModel, plan: RandomPad, pairs: list[Pair], opened: cp_model.IntVar, over: cp_model.IntVar
) -> None:
    """Operations of one rotation between its opening and its end."""
    run_at = {run: model.new_int_var(0, HORIZON, "") for run in plan.runs(pairs)}
    pump_at = {pumping: model.new_int_var(0, HORIZON, "") for pumping in plan.pumpings(pairs)}
    for at in [*run_at.values(), *pump_at.values()]:
        model.add(at >= opened)
    for pumping, at in pump_at.items():
        end = at + plan.pump_min(pumping)
        model.add(over >= end)
        for run in plan.needed(pumping):
            model.add(at >= run_at[run] + plan.run_min(run))
        for run in plan.allowed(pumping):
            model.add(run_at[run] >= end)
    _add_wireline(model, plan, run_at)
    _add_fleet(model, plan, pump_at)


def _add_wireline(model: cp_model.CpModel, plan: RandomPad, run_at: dict[Run, cp_model.IntVar]) -> None:
    """No more runs at once than there are units."""
    intervals = [model.new_fixed_size_interval_var(at, plan.run_min(run), "") for run, at in run_at.items()]
    model.add_cumulative(intervals, [1] * len(intervals), plan.lines)


def _add_fleet(model: cp_model.CpModel, plan: RandomPad, pump_at: dict[Pumping, cp_model.IntVar]) -> None:
    """One pumping at a time, a swap between different pairs; pairwise is enough, for a detour saves no swap."""
    for one, other in combinations(pump_at, 2):
        setup = 0 if one[0] == other[0] else plan.swap
        first = model.new_bool_var("")
        model.add(pump_at[other] >= pump_at[one] + plan.pump_min(one) + setup).only_enforce_if(first)
        model.add(pump_at[one] >= pump_at[other] + plan.pump_min(other) + setup).only_enforce_if(~first)


class Order:
    """Operations in the order in which a log says that the units took them on, as a graph of precedences.

    An edge: its head cannot start before its tail has started and so many minutes have passed.
    """

    def __init__(self, plan: RandomPad, log: Log, *, swaps_when_ready: bool) -> None:
        self._plan, self._swaps_when_ready = plan, swaps_when_ready
        self._graph: nx.DiGraph[object] = nx.DiGraph()
        pair_of = {name: pair for pairs in plan.rotations for pair in pairs for name in pair}
        self._fleet: list[Pumping] = [(pair_of[stage.wells[0]], stage.stage - 1) for stage in pumpings(log)]
        self._add_wells()
        self._add_fleet()
        self._add_wireline(log)

    def makespan(self) -> float:
        """Longest path: every operation as early as the order allows."""
        return float(nx.dag_longest_path_length(self._graph))

    def _after(self, tail: object, head: object, minutes: float) -> None:
        known = self._graph.get_edge_data(tail, head, {"weight": 0.0})["weight"]
        self._graph.add_edge(tail, head, weight=max(minutes, known))

    def _add_wells(self) -> None:
        for pumping in self._fleet:
            self._after(pumping, "end", self._plan.pump_min(pumping))
            for run in self._plan.needed(pumping):
                self._after(run, pumping, self._plan.run_min(run))
            for run in self._plan.allowed(pumping):
                self._after(pumping, run, self._plan.pump_min(pumping))

    def _add_fleet(self) -> None:
        rotation_of = {pair: pairs for pairs in self._plan.rotations for pair in pairs}
        for one, other in pairwise(self._fleet):
            over = self._plan.pump_min(one)
            if rotation_of[one[0]] is not rotation_of[other[0]]:
                self._open(one, rotation_of[other[0]])
            elif one[0] == other[0]:
                self._after(one, other, over)
            else:
                self._after(one, other, over + self._plan.swap)
                for run in self._plan.needed(other) if self._swaps_when_ready else ():
                    self._after(run, other, self._plan.run_min(run) + self._plan.swap)

    def _open(self, last: Pumping, pairs: list[Pair]) -> None:
        """Nothing of the next rotation begins before the fleet has come."""
        for operation in [*self._plan.runs(pairs), *self._plan.pumpings(pairs)]:
            self._after(last, operation, self._plan.pump_min(last) + self._plan.move)

    def _add_wireline(self, log: Log) -> None:
        rows = sorted(work(log, activities.PLUG_AND_PERFORATE))
        for unit in {row.unit for row in rows}:
            runs = [(row.well, row.stage - 1) for row in rows if row.unit == unit]
            for run, following in pairwise(runs):
                self._after(run, following, self._plan.run_min(run))
