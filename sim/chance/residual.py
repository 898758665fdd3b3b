"""What is left of something that has taken so long already: drawn again until it is long enough, whatever its shape."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sim.chance.luck import Luck
from sim.chance.troubles import Step

MOST_TRIES = 200
GOES_ON = 0.1  # share of what it has taken for which something goes on that the plan thinks over by now
CLOSE_H = 1e-9  # what rounding may make a job longer than it was to be


def longer_than(taken_h: float, hours_of: Callable[[Luck], float], luck: Luck) -> float:
    """Hours of something in all, given that it has taken `taken_h` and is not over.

    The first try is the plain luck, so what has not begun, and what began under the same luck, lasts as long as it
    would have. Others are drawn afresh until one is longer, which is exact for any shape: the accepted one has the
    distribution of a duration that is known to exceed `taken_h`. What the plan does not think possible in
    `MOST_TRIES` (a fixed time that has passed) goes on for a tenth of what it has taken: an assumption.
    """
    for number in range(MOST_TRIES):
        hours = hours_of(luck.again(number))
        if hours >= taken_h - CLOSE_H:
            return max(hours, taken_h)
    return taken_h * (1 + GOES_ON)


def matching(steps: Sequence[Step], stretches_h: Sequence[float], troubles: Sequence[str]) -> int | None:
    """The step of a script at which a job is that has met these troubles after these stretches of work.

    None where the script went otherwise. A job is at the work after its last trouble, even while in that trouble.
    """
    for number, (worked_h, trouble) in enumerate(zip(stretches_h, troubles, strict=False)):
        here = steps[2 * number : 2 * number + 2]
        if len(here) < 2 or here[1].trouble != trouble or abs(here[0].hours - worked_h) > CLOSE_H:
            return None
    at = 2 * len(troubles)
    if at == len(steps):  # given up after the trouble
        return at
    return at if at < len(steps) and steps[at].hours >= stretches_h[-1] - CLOSE_H else None


def beyond(steps: Sequence[Step], hours: float, worked_h: float) -> tuple[Step, ...]:
    """What a script of a job of `hours` holds beyond so many hours of an attempt: what struck before, did not."""
    done_h = 0.0
    for number, step in enumerate(steps):
        if step.trouble:
            continue
        done_h = step.hours if step.planned_h else done_h + step.hours  # an attempt begins with a plan
        if done_h > worked_h:
            return (Step(done_h - worked_h, ""), *steps[number + 1 :])
    return (Step(hours - worked_h, ""),)
