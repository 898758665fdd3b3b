"""Files that money, workbook and calendar leave in a folder: each appears whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from analysis.runs.run_directory import FOR_PLANNERS, RunDirectoryError, naming
from analysis.runs.whole_files import write_whole


def refuse_if_there(folder: Path, overwrite: bool) -> None:
    """Raise RunDirectoryError if one of these files would be replaced unasked, or the folder is none."""
    if folder.exists() and not folder.is_dir():
        raise RunDirectoryError(f"{folder}: is not a directory; choose another path")
    there = [name for name in FOR_PLANNERS if (folder / name).exists()]
    if there and not overwrite:
        raise RunDirectoryError(f"{folder}: holds {', '.join(there)}; choose another directory or add --overwrite")


def write_made(folder: Path, files: Mapping[str, bytes | str]) -> None:
    """Write files by name."""
    for name, content in files.items():
        if name not in FOR_PLANNERS:
            raise ValueError(f"{name!r} would not be cleared: expected one of {', '.join(FOR_PLANNERS)}")
        with naming(folder / name):
            write_whole(folder / name, content.encode() if isinstance(content, str) else content)
