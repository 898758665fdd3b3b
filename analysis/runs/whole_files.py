"""A file appears whole or not at all, whenever its writer is stopped."""

from __future__ import annotations

import os
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write under a temporary name beside the file, on to the disk, then rename. Raises OSError, and leaves nothing."""
    unfinished = path.with_name(f"{path.name}.tmp")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with unfinished.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(unfinished, path)
    except OSError:
        unfinished.unlink(missing_ok=True)
        raise


def settle(folder: Path) -> None:
    """Have the disk know which files are in a folder: after power loss a new name may be missing, and its file with it.

    Parts can be lost so and are made again; what says whose they are must not be. Raises OSError.
    """
    if os.name == "nt":
        return  # where a folder cannot be opened
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
