"""Waiting for something to change that nobody can foresee."""

from __future__ import annotations

import simpy


class Bell:
    """Wakes all who wait for a change, so that they look again. Rung for nobody it is no event."""

    def __init__(self, env: simpy.Environment) -> None:
        self._env = env
        self._next: simpy.Event | None = None

    def rung(self) -> simpy.Event:
        """Fires when the bell is rung next."""
        if self._next is None:
            self._next = self._env.event()
        return self._next

    def ring(self) -> None:
        """Something has changed."""
        if self._next is not None:
            self._next.succeed()
            self._next = None
