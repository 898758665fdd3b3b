"""The rotation: wells going round between wireline and fleet, and which of them the fleet takes next."""

from __future__ import annotations

from collections.abc import Sequence

import simpy

from sim.operations.bell import Bell
from sim.operations.well import Well
from sim.scenario.strategy import Strategy

Set = tuple[Well, ...]  # wells pumped together: one, or several in simultaneous fracturing


def _unfinished(wells: Sequence[Well]) -> Set:
    return tuple([well for well in wells if well.pumped < well.stages])


class Rotation:
    """The wells of one group that one fleet pumps in turn.

    `ready` holds the wells that are perforated and wait for the fleet, each with the row that made it ready, in the
    order in which they became so.
    """

    def __init__(self, env: simpy.Environment, wells: Sequence[Well], strategy: Strategy) -> None:
        self._strategy = strategy
        self.swaps_when_ready = strategy.swap.when == "once the next well is ready"
        self.wells = wells
        self.ready: dict[Well, int] = {}
        together = strategy.pumped_together
        self._pairs = [tuple(wells[i : i + together]) for i in range(0, len(wells), together)]
        self._pair_of = {well: number for number, pair in enumerate(self._pairs) for well in pair}
        self._entered: dict[Well, int] = {}
        self._last: Set = ()
        self._away = {well: number for number, well in enumerate(wells, start=-len(wells))}
        self._turn = 0
        self._stages_left = sum(well.stages - well.pumped for well in wells)
        self.changed = Bell(env)  # rung when another well enters or becomes ready
        self.turned_to: Set | None = None  # whom the fleet was found to have turned to
        self.has_swapped = False  # whether it had swapped to them

    def was_turned_to(self) -> tuple[Set | None, bool]:
        """Whom the fleet was found to have turned to, and whether it had swapped to them; nobody from now on."""
        found = self.turned_to, self.has_swapped
        self.turned_to, self.has_swapped = None, False
        return found

    def turn(self, wells: Set, *, has_swapped: bool) -> None:
        """The fleet was found to have turned to these."""
        self.turned_to, self.has_swapped = wells, has_swapped

    def choose(self) -> None:
        """Let a fleet that is found without wells turn to the next, as one that is here would."""
        wells = self.next_set() if self.turned_to is None else None
        if wells is not None and (not self.swaps_when_ready or self.is_ready(wells)):
            self.turn(wells, has_swapped=False)

    def stages_are_left(self) -> None:
        """Count the stages that are left to pump."""
        self._stages_left = sum(well.stages - well.pumped for well in self.wells)

    def has_entered(self, well: Well) -> bool:
        """Whether the well goes round."""
        return well in self._entered

    @property
    def finished(self) -> bool:
        """Whether every stage of the group is pumped."""
        return self._stages_left == 0

    @property
    def is_entered(self) -> bool:
        """Whether any well goes round that has stages left."""
        return any(well.pumped < well.stages for well in self._entered)

    def enter(self, well: Well, released: int) -> None:
        """The well is prepared, and goes round from now on."""
        self._entered[well] = released
        self.changed.ring()

    def make_ready(self, well: Well, released: int) -> None:
        """The well waits for the fleet from now on."""
        self.ready[well] = released
        self.changed.ring()

    def is_ready(self, wells: Set) -> bool:
        """Whether all of these wait for the fleet."""
        return self.ready.keys() >= set(wells) if len(wells) > 1 else wells[0] in self.ready

    def leave(self, wells: Set) -> None:
        """The fleet has pumped a stage in each of these, and leaves them."""
        self._turn += 1
        self._stages_left -= len(wells)
        self._last = wells
        for well in wells:
            self.ready.pop(well, None)
            self._away[well] = self._turn

    def is_elsewhere(self, wells: Set) -> bool:
        """Whether the fleet has to swap to get to these."""
        return bool(self._last) and wells != self._last and not set(wells) <= set(self._last)

    def last_released(self, wells: Set) -> int:
        """The row that made the last of these wells ready, or while they are not, let it go round."""
        rows = self.ready if self.is_ready(wells) else self._entered
        return max(map(rows.__getitem__, wells))

    def next_set(self) -> Set | None:
        """Whom the fleet turns to next; None while that depends on who becomes ready.

        Wells that are not prepared yet are passed over. With `alternate` and fixed pairs it is simply the next in
        the round. Otherwise whoever is ready comes first; with nobody ready, a fleet that swaps as soon as it is free
        turns to whoever has been away longest, except under a rule whose answer that could not be.
        """
        strategy = self._strategy
        if strategy.pairs == "as listed" and strategy.next_well == "alternate":
            return self._next_in_the_round()
        ordered = sorted(self._candidates(), key=self._rank)
        for wells in ordered:
            if self.is_ready(wells):
                return wells
        foreseen = strategy.next_well in {"alternate", "first ready"} and strategy.pumped_together == 1
        return ordered[0] if ordered and foreseen and not self.swaps_when_ready else None

    def _next_in_the_round(self) -> Set | None:
        last = self._pair_of[self._last[0]] if self._last else -1
        for pair in self._pairs[last + 1 :] + self._pairs[: last + 1]:
            if left := self._going_round(pair):
                return left
        return None

    def _going_round(self, pair: Set) -> Set:
        """What is left of a pair; nothing while one of it is still being prepared."""
        if len(pair) == 1:
            return pair if pair[0].pumped < pair[0].stages and pair[0] in self._entered else ()
        left = _unfinished(pair)
        return left if all(well in self._entered for well in left) else ()

    def _candidates(self) -> list[Set]:
        """Sets with stages left: pairs as listed, or the best of those that are ready."""
        if self._strategy.pairs == "as listed":
            return [left for pair in self._pairs if (left := self._going_round(pair))]
        unfinished = sorted(
            [well for well in _unfinished(self.wells) if well in self._entered],
            key=lambda well: (well not in self.ready, self._rank((well,))),
        )
        return [tuple(unfinished[: self._strategy.pumped_together])] if unfinished else []

    def _rank(self, wells: Set) -> tuple[int, ...]:
        """Smaller is sooner."""
        first, size = wells[0], len(self.wells)
        listed = self.wells.index(first)
        match self._strategy.next_well:
            case "alternate":
                last = self.wells.index(self._last[0]) if self._last else -1
                return ((listed - last - 1) % size,)
            case "first ready":
                waiting = list(self.ready)
                return (max(waiting.index(well) if well in self.ready else size for well in wells), self._away[first])
            case "least advanced":
                return (sum(well.pumped for well in wells), listed)
            case "as listed":
                return (listed,)
