"""Files that money, workbook and calendar leave in a folder: each appears whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from analysis.run_directory import RunDirectoryError

MADE = (
    "costs.csv",
    "cost_lines.csv",
    "cash.csv",
    "production.csv",
    "fuel.csv",
    "stages.csv",
    "plan.xlsx",
    "plan.ics",
    "report.html",
)


def clear_made(folder: Path) -> None:
    """Remove what an earlier run left of these files."""
    for name in MADE:
        for path in (folder / name, folder / f"{name}.tmp"):
            try:
                path.unlink(missing_ok=True)
            except OSError as error:
                raise RunDirectoryError(f"{path}: cannot be removed: {error.strerror}") from error


def refuse_if_there(folder: Path, overwrite: bool) -> None:
    """Raise RunDirectoryError if one of these files would be replaced unasked, or the folder is none."""
    if folder.exists() and not folder.is_dir():
        raise RunDirectoryError(f"{folder}: is not a directory; choose another path")
    there = [name for name in MADE if (folder / name).exists()]
    if there and not overwrite:
        raise RunDirectoryError(f"{folder}: holds {', '.join(there)}; choose another directory or add --overwrite")


def write_made(folder: Path, files: Mapping[str, bytes | str]) -> None:
    """Write files by name, each under a temporary name first."""
    for name, content in files.items():
        if name not in MADE:
            raise ValueError(f"{name!r} would not be cleared: expected one of {', '.join(MADE)}")
        path, unfinished = folder / name, folder / f"{name}.tmp"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            unfinished.write_bytes(content.encode() if isinstance(content, str) else content)
            os.replace(unfinished, path)
        except OSError as error:
            raise RunDirectoryError(f"{path}: cannot be written: {error.strerror or error}") from error
