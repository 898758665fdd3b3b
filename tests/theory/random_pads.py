"""Small random pads, stated as operations on machines and as plans of the simulator. Minutes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well

Pair = tuple[str, ...]  # wells pumped together; of one, unless simultaneous
Run = tuple[str, int]  # well and stage, counted from 0 at the toe
Pumping = tuple[Pair, int]

FREE, READY = "as soon as the fleet is free", "once the next well is ready"

ROTATIONS: dict[str, list[list[Pair]]] = {
    "sequential": [[("a",)], [("b",)], [("c",)]],
    "zipper": [[("a",), ("b",), ("c",)]],
    "simultaneous": [[("a", "b"), ("c", "d")]],
    "two zippers": [[("a",), ("b",)], [("c",), ("d",)]],
    "zipper, then alone": [[("a",), ("b",), ("c",)], [("d",)]],
    "pair, then pair": [[("a", "b")], [("c", "d")]],
}


@dataclass(frozen=True)
class RandomPad:
    """Times of the stages by well, and the wells in rotations of pairs."""

    wireline: dict[str, list[int]]
    pump: dict[str, list[int]]
    open_toe: dict[str, bool]
    rotations: list[list[Pair]]
    lines: int
    swap: int
    move: int

    def scenario(self, when: str = FREE, next_well: str = "alternate") -> Scenario:
        """The same pad as a plan of the simulator."""
        wells = [
            well(name, len(self.pump[name]), minutes(self.wireline[name]), minutes(self.pump[name]), toe=toe)
            for name, toe in self.open_toe.items()
        ]
        strategy = {
            "wells_in_rotation": [sum(len(pair) for pair in pairs) for pairs in self.rotations],
            "pumped_together": max(len(pair) for pairs in self.rotations for pair in pairs),
            "between_groups": minutes(self.move),
            "swap": {"time": minutes(self.swap), "when": when},
            "next_well": next_well,
        }
        return pad(wells, strategy, units=units(self.lines))

    def runs(self, pairs: list[Pair]) -> Iterator[Run]:
        """Wireline runs of a rotation; a toe that is open spares the first."""
        for name in (name for pair in pairs for name in pair):
            for stage in range(int(self.open_toe[name]), len(self.pump[name])):
                yield name, stage

    def pumpings(self, pairs: list[Pair]) -> Iterator[Pumping]:
        """What the fleet pumps in a rotation."""
        for pair in pairs:
            for stage in range(max(len(self.pump[name]) for name in pair)):
                yield pair, stage

    def pumped(self, pumping: Pumping) -> list[str]:
        """Wells of the pair that have that stage."""
        pair, stage = pumping
        return [name for name in pair if stage < len(self.pump[name])]

    def pump_min(self, pumping: Pumping) -> int:
        """Wells pumped together are shut down together."""
        return max(self.pump[name][pumping[1]] for name in self.pumped(pumping))

    def run_min(self, run: Run) -> int:
        """Minutes of a wireline run."""
        name, stage = run
        return self.wireline[name][stage]

    def needed(self, pumping: Pumping) -> list[Run]:
        """Runs that have to be over before a pumping."""
        stage = pumping[1]
        return [(name, stage) for name in self.pumped(pumping) if stage or not self.open_toe[name]]

    def allowed(self, pumping: Pumping) -> list[Run]:
        """Runs that cannot begin before a pumping is over."""
        pair, stage = pumping
        return [(name, stage + 1) for name in pair if stage + 1 < len(self.pump[name])]


def random_pad(kind: str, seed: int) -> RandomPad:
    """A pad of that kind with unequal wells and stages, small enough for a proof."""
    rng = np.random.default_rng(seed)
    rotations = ROTATIONS[kind]
    names = [name for pairs in rotations for pair in pairs for name in pair]
    counts = dict(zip(names, rng.integers(2, 5, len(names)), strict=True))
    return RandomPad(
        wireline={name: rng.integers(40, 200, n).tolist() for name, n in counts.items()},
        pump={name: rng.integers(60, 180, n).tolist() for name, n in counts.items()},
        open_toe=dict(zip(names, (rng.random(len(names)) < rng.choice([0, 0.5, 1])).tolist(), strict=True)),
        rotations=rotations,
        lines=int(rng.integers(1, 3)),
        swap=int(rng.choice([0, 15, 45, 120])),
        move=int(rng.choice([0, 60, 240])),
    )
