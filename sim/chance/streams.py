"""Random streams by name: the same seed, replication, entity and purpose always meet the same luck.

A name is hashed to a 128-bit Philox key (Salmon et al. 2011, from memory), so streams neither depend on the order
in which they are asked for nor on each other: adding a well moves nobody else's draws.
"""

from __future__ import annotations

from hashlib import blake2b
from struct import Struct
from typing import Any

import numpy as np
from numpy.random import Generator, Philox

_two_words = Struct("<QQ").unpack
_SEPARATOR = "\x1f"  # cannot stand in a name, so no two different names run together into one


def key(seed: int, replication: int, entity: str, purpose: str) -> np.ndarray:
    """Philox key of a named stream: two unsigned 64-bit words."""
    name = _SEPARATOR.join((str(seed), str(replication), entity, purpose))
    return np.frombuffer(blake2b(name.encode(), digest_size=16).digest(), dtype="<u8").astype(np.uint64)


def own_generator(seed: int, replication: int, entity: str, purpose: str) -> Generator:
    """A generator for a stream that is drawn from now and again, as time goes on."""
    return Generator(Philox(key=key(seed, replication, entity, purpose)))


class Streams:
    """All named streams of one replication.

    One generator is turned to each stream in turn, which costs a fifth of making a new one; what `at` returns is
    therefore good until the next call.
    """

    def __init__(self, seed: int, replication: int) -> None:
        self.seed = seed
        self.replication = replication
        self._replication = blake2b(_SEPARATOR.join((str(seed), str(replication), "")).encode(), digest_size=16)
        self._bits = Philox(key=0)
        self._generator = Generator(self._bits)
        self._start = {"counter": (0, 0, 0, 0), "key": (0, 0)}
        self._fresh: Any = {**self._bits.state, "state": self._start, "buffer": (0, 0, 0, 0)}

    def at(self, entity: str, purpose: str) -> Generator:
        """The start of the stream of `entity` for `purpose`, of the same key as `key` has it."""
        name = self._replication.copy()
        name.update(f"{entity}{_SEPARATOR}{purpose}".encode())
        self._start["key"] = _two_words(name.digest())
        self._bits.state = self._fresh
        return self._generator
