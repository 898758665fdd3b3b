"""Rows to be written into a run directory, and what to make of what was written."""

from __future__ import annotations

import errno
import math
import os
from pathlib import Path
from typing import Any

import numpy as np

AWKWARD_HOURS = [0.0, -0.0, 5e-324, 0.1 + 0.2, 1e300, math.nextafter(1.0, 2.0), math.pi, math.inf]


def unit_rows(replication: int, hours: list[float]) -> list[tuple[Any, ...]]:
    return [(replication, "Fleet A", "work", "pump stage", each) for each in hours]


def bits(numbers: Any) -> list[int]:
    return np.asarray(numbers, dtype=np.float64).view(np.int64).tolist()


def files_below(directory: Path) -> set[str]:
    return {str(path.relative_to(directory)) for path in directory.rglob("*") if path.is_file()}


def no_room(*_: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
