"""A run that somebody stops: plays thousands of replications, says where, and at the end what was kept of them.

python -m tests.sim.long_run WORKERS
"""

from __future__ import annotations

import json
import sys

from sim.replications import replicate
from tests.sim.reductions import Played, played
from tests.sim.uncertain_pad import uncertain_pad

ASKED = 20_000
SEED = 5


def say(**what: object) -> None:
    """A line for whoever reads along."""
    print(json.dumps(what), flush=True)


def heard(number: int, results: list[Played]) -> None:
    """A chunk has ended, in this process."""
    say(chunk=number, processes=sorted({each.process for each in results}))


def main() -> None:
    """Play until stopped, and report."""
    replicated = replicate(uncertain_pad(), ASKED, SEED, int(sys.argv[1]), played, heard)
    say(
        kept=[(each.replication, each.end_h) for each in replicated.results],
        asked=replicated.asked,
        interrupted=replicated.interrupted,
    )


if __name__ == "__main__":
    main()
