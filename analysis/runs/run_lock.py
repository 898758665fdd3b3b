"""One run at a time in a directory.

The lock is the operating system's, so it ends with the process that holds it, however that ends; the file by which it
is held may stay behind and blocks nobody.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from analysis.runs.run_directory import LOCK, RunDirectoryError, naming


@contextmanager
def locked(directory: Path) -> Iterator[None]:
    """Hold the directory, which is made if need be. Raises RunDirectoryError when another run does."""
    from filelock import FileLock, Timeout

    path = directory / LOCK
    with naming(path):
        directory.mkdir(parents=True, exist_ok=True)
        lock = FileLock(path, timeout=0, fallback_to_soft=False)
        try:
            lock.acquire()
        except Timeout as error:
            raise RunDirectoryError(f"{directory}: another run is writing there; wait for its end") from error
    try:
        yield
    finally:
        with suppress(OSError):  # where an open file cannot be removed it stays, which does no harm
            path.unlink()
        lock.release()
