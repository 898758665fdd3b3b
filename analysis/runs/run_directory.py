"""The directory that holds a run: what it was, its tables in parts as they were finished, and its summary.

    manifest.json                     scenario and its hash, seed, versions, replications asked for and done
    summary.json, dates.csv           what was made of the tables
    pictures/<name>.png, .svg         and what it looks like
    tables/<table>/part-00012.parquet the rows of one chunk of replications

Every file appears whole or not at all, so a run killed at any instant leaves only finished files (and at most
one `.tmp`, which is no part of it). No file holds a wall clock time: equal runs give equal files.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.runs.whole_files import settle, write_whole

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_tables import Rows

MADE_BY = "padtempo"
FORMAT = 2  # 1 had chunks whose size followed from the number of replications
BEYOND_HORIZON = "beyond horizon"
NO_LOWER_BOUND = "no lower bound"

MANIFEST, SUMMARY, TABLES, PICTURES, LOCK = "manifest.json", "summary.json", "tables", "pictures", "run.lock"
FOR_PLANNERS = (
    *("costs.csv", "cost_lines.csv", "cash.csv", "production.csv", "fuel.csv"),
    *("stages.csv", "plan.xlsx", "plan.ics", "report.html"),
)
OF_STUDIES = ("points.csv", "effects.csv", "candidates.csv")
MADE_OF_TABLES = (SUMMARY, "dates.csv", "supplies.csv", *FOR_PLANNERS, *OF_STUDIES)
PART = re.compile(r"part-(\d{5,})\.parquet")


class RunDirectoryError(Exception):
    """A run directory cannot be used as asked; the message is one line for the user, naming the path."""


@dataclass(frozen=True)
class RunDirectory:
    """A directory that `create` found or made fit for a run."""

    path: Path

    @property
    def pictures(self) -> Path:
        """Where the pictures go."""
        return self.path / PICTURES

    def parts(self, table: str) -> dict[int, Path]:
        """The finished parts of a table by chunk, in chunk order: what a resumed run need not do again."""
        found = ((PART.fullmatch(path.name), path) for path in (self.path / TABLES / table).glob("part-*"))
        return dict(sorted((int(name[1]), path) for name, path in found if name))


def refuse_if_unusable(directory: Path | str, overwrite: bool) -> None:
    """Raise RunDirectoryError if a run could not be written there; touches nothing."""
    path = Path(directory)
    with naming(path):
        if path.is_dir():
            _refuse_occupied(path, overwrite)
        elif os.path.lexists(path):
            raise RunDirectoryError(f"{path}: is not a directory; choose another path for the run")
        _refuse_unwritable(path)


def create(directory: Path | str, overwrite: bool) -> RunDirectory:
    """Make the directory ready for a new run, or raise RunDirectoryError before anything has been changed.

    Overwriting removes an earlier run's summary and parts and nothing else. A manifest that says only whose
    run this is comes first, so that killed at any instant after it the directory is still known as ours.
    """
    refuse_if_unusable(directory, overwrite)
    run = RunDirectory(Path(directory))
    with naming(run.path):
        run.path.mkdir(parents=True, exist_ok=True)
        write_manifest(run, {"made_by": MADE_BY, "format": FORMAT})
        clear(run)
    return run


def write_part(run: RunDirectory, table_name: str, chunk_index: int, rows: Rows) -> None:
    """Write the rows of one chunk as one part; a chunk written twice replaces its part.

    `rows` are tuples in the order of the table's columns (`run_tables.SCHEMAS`), the replication first. A
    chunk without rows is written too: its part says that it was done.
    """
    from analysis.runs.run_tables import encode

    if chunk_index < 0:
        raise ValueError(f"chunk_index is {chunk_index}: expected 0 or more")
    content = encode(table_name, rows)
    _write(run.path / TABLES / table_name / f"part-{chunk_index:05d}.parquet", content)


def read_table(directory: Path | str, table: str) -> pd.DataFrame:
    """All rows of a table by replication, and within one as written, whatever the order of finishing.

    A table without parts is an empty frame with the table's columns.
    """
    read_manifest(directory)
    return read_parts(table, RunDirectory(Path(directory)).parts(table).values())


def read_parts(table: str, parts: Iterable[Path]) -> pd.DataFrame:
    """All rows of these parts of a table. Raises RunDirectoryError, which names the file, when one is damaged."""
    from analysis.runs.run_tables import UnreadablePartError, decode

    try:
        return decode(table, parts)
    except UnreadablePartError as error:
        raise RunDirectoryError(str(error)) from error


def replications_in(table: str, part: Path) -> set[int]:
    """Which replications have rows in a part, all of which is read. Raises RunDirectoryError when it is damaged."""
    from analysis.runs.run_tables import UnreadablePartError, replications_of

    try:
        return replications_of(table, part)
    except UnreadablePartError as error:
        raise RunDirectoryError(f"{error}; remove it to have its replications played again") from error


def write_manifest(run: RunDirectory, manifest: Mapping[str, Any]) -> None:
    """Write what this run is; must hold `"made_by": "padtempo"`, by which the directory is known as ours."""
    if manifest.get("made_by") != MADE_BY:
        raise ValueError(f"made_by is {manifest.get('made_by')!r}: expected {MADE_BY!r}")
    _write(run.path / MANIFEST, _as_json(manifest))
    with naming(run.path):
        settle(run.path)


def read_manifest(directory: Path | str) -> dict[str, Any]:
    """What the run in this directory was, or RunDirectoryError if there is none of ours."""
    manifest = _manifest_of_ours(Path(directory))
    if manifest is None:
        raise RunDirectoryError(f"{directory}: holds no run; expected a directory that a run was written to")
    return manifest


def write_summary(run: RunDirectory, summary: Mapping[str, Any]) -> None:
    """Write what was made of the tables.

    JSON has no infinity: +inf is written as "beyond horizon", -inf (a quantile that too few replications
    could not bound from below) as "no lower bound". NaN is refused.
    """
    _write(run.path / SUMMARY, _as_json(summary))


def write_text(run: RunDirectory, name: str, text: str) -> None:
    """Write one of the files that are made of the tables."""
    if name not in MADE_OF_TABLES:
        raise ValueError(f"{name!r} would not be cleared with the run: expected one of {', '.join(MADE_OF_TABLES)}")
    _write(run.path / name, text.encode())


def scenario_hash(plain: Mapping[str, Any]) -> str:
    """The SHA-256 of a scenario's canonical JSON, in hexadecimal.

    Independent of the order of keys and of a round trip through the manifest; 12 and 12.0 differ.
    """
    text = json.dumps(_plain(plain), sort_keys=True, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _refuse_occupied(path: Path, overwrite: bool) -> None:
    if all(each.name in {f"{MANIFEST}.tmp", LOCK} for each in path.iterdir()):
        return  # empty, or killed while the very first file was written
    if not overwrite:
        raise RunDirectoryError(f"{path}: is not empty; choose another directory or add --overwrite")
    if _manifest_of_ours(path) is None:
        raise RunDirectoryError(
            f"{path}: is not empty and holds no earlier run of {MADE_BY}, so --overwrite will not clear it; "
            "choose another directory"
        )


def _refuse_unwritable(path: Path) -> None:
    """Look at the nearest thing that exists: missing directories on the way are made later."""
    nearest = next(each for each in (path, *path.absolute().parents) if os.path.lexists(each))
    if not nearest.is_dir():
        raise RunDirectoryError(f"{path}: {nearest} is not a directory; choose another path for the run")
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise RunDirectoryError(f"{path}: no permission to write in {nearest}; choose another directory")


def _manifest_of_ours(path: Path) -> dict[str, Any] | None:
    try:
        manifest = json.loads((path / MANIFEST).read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError, ValueError):
        return None
    except OSError as error:
        raise RunDirectoryError(f"{path / MANIFEST}: cannot be read: {error.strerror}") from error
    return manifest if isinstance(manifest, dict) and manifest.get("made_by") == MADE_BY else None


def clear(run: RunDirectory, keep: Collection[str] = ()) -> None:
    """Remove what an earlier run wrote but for the tables to keep; files of anyone else stay, with their folders."""
    for folder in (run.path / TABLES).glob("*/"):
        for leftover in folder.glob("part-*.parquet.tmp"):
            leftover.unlink()
        if folder.name not in keep:
            for part in run.parts(folder.name).values():
                part.unlink()
        if not any(folder.iterdir()):
            folder.rmdir()
    for kind in ("png", "svg", "png.tmp", "svg.tmp"):
        for made in run.pictures.glob(f"*.{kind}"):
            made.unlink()
    for name in MADE_OF_TABLES:
        (run.path / name).unlink(missing_ok=True)
        (run.path / f"{name}.tmp").unlink(missing_ok=True)


def _write(path: Path, content: bytes) -> None:
    with naming(path):
        write_whole(path, content)


@contextmanager
def naming(path: Path) -> Iterator[None]:
    """Turn what the system says (disk full, read-only, name too long) into one line that names the path."""
    try:
        yield
    except OSError as error:
        raise RunDirectoryError(f"{path}: cannot be written: {error.strerror or error}") from error


def _as_json(content: Mapping[str, Any]) -> bytes:
    text = json.dumps(_plain(content), indent=2, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def _plain(value: Any) -> Any:
    """The value in words that JSON has."""
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and math.isinf(value):
        return BEYOND_HORIZON if value > 0 else NO_LOWER_BOUND
    return value
