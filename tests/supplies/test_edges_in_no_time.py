"""A pond so close to its edge that no floating-point time passes until it is reached: the simulation must go on."""

from __future__ import annotations

import sim
from tests.cli.desk import SCENARIOS


def test_pad_whose_pond_comes_within_rounding_of_its_minimum() -> None:
    """This very replication once looked for ever for the moment at which the pond would be empty."""
    log = sim.simulate(sim.load(SCENARIOS / "thirsty_pad.yaml"), replication=1, seed=1)
    assert log.cut_short == 0
