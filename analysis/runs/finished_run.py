"""A run directory read back: what was played, as far as its tables are whole, and what it lacks.

A replication counts with all its tables or not at all: a table with a part missing would turn into shares and means of
other replications than the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from analysis.forecasting.forecast import Forecast
from analysis.runs.run_directory import (
    MADE_OF_TABLES,
    MANIFEST,
    OF_STUDIES,
    RunDirectory,
    RunDirectoryError,
    read_manifest,
)
from analysis.runs.run_manifest import FORECAST, command_of
from sim.scenario import load_stated

if TYPE_CHECKING:
    import pandas as pd

NEEDED = ("pads", "wells", "units", "visits")
ALSO = ("shut_ins", "amounts", "supplies", "shortages")  # older runs may be without
MANY = 4  # parts of a table, beyond which they are not all named
_KINDS: Mapping[str, type] = {"seed": int, "replications_asked": int, "scenario": dict, "versions": dict}
_EXPECTED = {int: "a whole number", dict: "a table of values"}


@dataclass(frozen=True)
class FinishedRun:
    """A run as it can be shown. `lacks` are sentences on what is missing or damaged; empty for a whole run."""

    directory: Path
    manifest: Mapping[str, Any]
    forecast: Forecast
    lacks: tuple[str, ...]

    @property
    def files(self) -> tuple[str, ...]:
        """What the run left beside its tables for planners, spreadsheets and calendars."""
        names = [name for name in MADE_OF_TABLES if name not in {"report.html", *OF_STUDIES}]
        return tuple(name for name in names if (self.directory / name).is_file())


def read_run(directory: Path) -> FinishedRun:
    """The run in a directory. Raises RunDirectoryError where there is nothing that could be shown, and says why."""
    manifest = read_manifest(directory)
    _refuse_others(directory, manifest)
    scenario = load_stated(manifest["scenario"])
    found = {table: _parts(directory, table) for table in (*NEEDED, *ALSO)}
    whole, lacks = _whole_chunks({table: set(parts) for table, (parts, _) in found.items()})
    damaged = [sentence for _, sentences in found.values() for sentence in sentences]
    if not whole:
        raise RunDirectoryError(_nothing(directory, [*damaged, *lacks]))
    tables = {table: _table(table, parts, whole) for table, (parts, _) in found.items()}
    played = Forecast(scenario, manifest["seed"], _asked(manifest, len(tables["pads"])), **tables)
    return FinishedRun(directory, manifest, played, (*_unfinished(manifest, played), *damaged, *lacks))


def _refuse_others(directory: Path, manifest: Mapping[str, Any]) -> None:
    """Raise RunDirectoryError for the run of another command, one never begun, and a manifest that lacks something."""
    if "scenario" not in manifest and "replications_asked" not in manifest:
        raise RunDirectoryError(f"{directory}: holds a run that was never begun; play it with forecast --out")
    other = command_of(manifest)
    if other != FORECAST:
        raise RunDirectoryError(f"{directory}: holds a run of '{other}'; expected one of forecast --out")
    wrong = [
        f"{directory / MANIFEST}: {key}: {'is missing' if key not in manifest else 'is damaged'}; "
        f"expected {_EXPECTED[kind]}"
        for key, kind in _KINDS.items()
        if not isinstance(manifest.get(key), kind) or isinstance(manifest[key], bool)
    ]
    if wrong:
        raise RunDirectoryError("\n".join(wrong))


def _parts(directory: Path, table: str) -> tuple[dict[int, pd.DataFrame], list[str]]:
    """The parts of a table that can be read, by chunk, and sentences on those that cannot."""
    from analysis.runs.run_tables import UnreadablePartError, decode

    frames: dict[int, pd.DataFrame] = {}
    damaged = []
    for chunk, path in RunDirectory(directory).parts(table).items():
        try:
            frames[chunk] = decode(table, [path])
        except UnreadablePartError:
            damaged.append(path.name)
    return frames, _damaged(table, damaged)


def _damaged(table: str, names: Sequence[str]) -> list[str]:
    """A sentence on each part, or where there are many one on all."""
    if len(names) <= MANY:
        return [f"tables/{table}/{name} is damaged and cannot be read." for name in names]
    first = ", ".join(sorted(names)[:MANY])
    return [f"tables/{table} has {len(names)} parts that are damaged and cannot be read: {first} and more."]


def _whole_chunks(chunks: Mapping[str, set[int]]) -> tuple[list[int], list[str]]:
    """Chunks with a part in every table, and what the others lack. Where a table of `ALSO` has none, it is empty."""
    absent = [table for table in ALSO if not chunks[table]]
    counted = [table for table in (*NEEDED, *ALSO) if table not in absent]
    every = set().union(*chunks.values())
    whole = sorted(chunk for chunk in every if all(chunk in chunks[table] for table in counted))
    lacks = [f"tables/{table} is missing: nothing is said of what it holds." for table in absent if whole]
    for table in counted:
        gone = sorted(every - chunks[table])
        if gone:
            parts = ", ".join(f"part-{chunk:05d}.parquet" for chunk in gone[:5]) + (" and more" if gone[5:] else "")
            lacks.append(f"tables/{table} is without {parts}: their replications are left out everywhere.")
    return whole, lacks


def _table(table: str, parts: Mapping[int, pd.DataFrame], whole: list[int]) -> pd.DataFrame:
    import pandas as pd

    from analysis.runs.run_tables import decode

    kept = [parts[chunk] for chunk in whole if chunk in parts]
    if not kept:
        return decode(table, [])
    return pd.concat(kept, ignore_index=True).sort_values("replication", kind="stable", ignore_index=True)


def _asked(manifest: Mapping[str, Any], found: int) -> int:
    """How many replications make the run whole; one that ran until a date was known says so itself at its end."""
    done = manifest.get("replications_done", 0)
    if "until" in manifest and done:
        return max(int(done), found)
    return max(int(manifest["replications_asked"]), found)


def _unfinished(manifest: Mapping[str, Any], played: Forecast) -> list[str]:
    n, asked = played.replications, played.asked
    said = []
    if n < asked:
        only = "one replication is" if n == 1 else f"{n} replications are"
        most = f"{'at most ' if 'until' in manifest else ''}{asked}"
        said.append(f"The run is unfinished: of {most} replications that were asked for, {only} whole.")
    if manifest.get("replications_done", 0) == 0:
        said.append("It was ended before its summary, workbook, calendar and pictures were written.")
    return said


def _nothing(directory: Path, why: list[str]) -> str:
    return "\n".join([f"{directory}: holds no replication that is whole, so there is nothing to report", *why])
