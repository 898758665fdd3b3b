"""What a crew has learnt: the factor on the time of its next unit of work."""

from __future__ import annotations

from sim.physics.learning import learning_multiplier
from sim.scenario.equipment import Learning


def faster(learning: Learning | None, unit_number: int) -> float:
    """Factor on the stated time for the crew's n-th unit of work here; 1 for the first, and without learning."""
    if learning is None:
        return 1.0
    return float(learning_multiplier(unit_number, learning.doubling, learning.done_before))
