"""What a draw waited for: stretches in which a store lacked something for it, read backwards from the end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Lack(NamedTuple):
    """A stretch in which one supply lacked something for a draw to start, and the part that was the limit."""

    from_h: float
    until_h: float
    cause: str


def causes(lacks: Sequence[Lack], since_h: float, until_h: float) -> list[tuple[float, str]]:
    """Stretches of the wait from `since_h` to `until_h`, each as its end and its cause, in order of time.

    Of several supplies that lacked something, the one that was there last is to blame, back to when it began to be
    short; before that, the one that was there last of the others. More of any other would have changed nothing.
    """
    found: list[tuple[float, str]] = []
    at_h = until_h
    while at_h > since_h:
        lack = _last_before(lacks, at_h, found[-1][1] if found else "")
        if lack is None:
            break
        if not found or found[-1][1] != lack.cause:
            found.append((at_h, lack.cause))
        at_h = lack.from_h
    return found[::-1]


def _last_before(lacks: Sequence[Lack], at_h: float, before: str) -> Lack | None:
    """The lack that reaches closest to an hour; of several that reach it, one with the same cause as came after."""
    earlier = [lack for lack in lacks if lack.from_h < at_h]
    if not earlier:
        return None
    reach_h = max(min(lack.until_h, at_h) for lack in earlier)
    return min((lack for lack in earlier if lack.until_h >= reach_h), key=lambda lack: lack.cause != before)


def note(lacks: list[Lack], lack: Lack) -> None:
    """Add a lack, as one with the last of the same cause where it goes on from there."""
    for number in range(len(lacks) - 1, -1, -1):
        if lacks[number].cause == lack.cause:
            if lacks[number].until_h >= lack.from_h:
                lacks[number] = lack._replace(from_h=lacks[number].from_h)
                return
            break
    lacks.append(lack)
