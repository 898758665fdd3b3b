"""The luck of one replication: every uncertain duration of it, by name. Or no luck: every duration at its mean."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from sim.chance.sampling import mean, sample
from sim.chance.streams import Streams
from sim.scenario.durations import ByStage, DesignDuration, StageDuration
from sim.scenario.shapes import Shape

Hours = NDArray[np.float64]
Source = Callable[[str, str, Shape, int], Hours]  # entity, purpose, shape, how many


def drawn(seed: int, replication: int) -> Source:
    """Luck as it falls in one replication."""
    streams = Streams(seed, replication)
    return lambda entity, purpose, shape, n: sample(shape, streams.at(entity, purpose), n)


def expected(_entity: str, _purpose: str, shape: Shape, n: int) -> Hours:
    """No luck: the mean of everything."""
    return np.full(n, mean(shape))


class Luck:
    """Durations in hours. What is stated as fixed needs no stream, so fixing one thing moves nothing else."""

    def __init__(self, source: Source) -> None:
        self._source = source

    def again(self, number: int) -> Luck:
        """The same luck, drawn for the so many-th time: another draw for every number, this one itself for 0."""
        source = self._source
        if not number:
            return self
        return Luck(lambda entity, purpose, shape, n: source(entity, f"{purpose}, try {number}", shape, n))

    def hours(self, entity: str, purpose: str, duration: float | Shape) -> float:
        """One duration."""
        return duration if isinstance(duration, float) else float(self._source(entity, purpose, duration, 1)[0])

    def many(self, entity: str, purpose: str, shape: float | Shape, n: int) -> Hours:
        """`n` durations or factors for one purpose, drawn as one vector."""
        return np.full(n, shape) if isinstance(shape, float) else self._source(entity, purpose, shape, n)

    def by_stage(self, well: str, purpose: str, stated: StageDuration, design_h: Hours) -> Hours:
        """Hours of each stage, toe to heel; `design_h` is what the design alone would take, stage by stage."""
        n = len(design_h)
        if isinstance(stated, ByStage):
            return self._listed(well, purpose, stated.by_stage)
        if isinstance(stated, DesignDuration):
            factor = self.many(well, f"{purpose} factor", stated.from_design.factor, n)
            plus = self.many(well, f"{purpose} plus", stated.from_design.plus, n)
            return np.add(design_h * factor, plus)
        return self.many(well, purpose, stated, n)

    def _listed(self, well: str, purpose: str, stages: Sequence[float | Shape]) -> Hours:
        return np.array([self.hours(well, f"{purpose} {k}", stage) for k, stage in enumerate(stages, start=1)])
