"""A run directory opened for a run: a new one, or one that was stopped and is taken up where it was."""

from __future__ import annotations

import json
import sys
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from analysis.runs.parts import finished
from analysis.runs.run_directory import (
    MANIFEST,
    TABLES,
    RunDirectory,
    RunDirectoryError,
    clear,
    create,
    naming,
    read_manifest,
    refuse_if_unusable,
    write_manifest,
)
from analysis.runs.run_lock import locked
from analysis.runs.run_manifest import command_of
from analysis.runs.stopping import NothingPlayedError
from sim.cluster import ClusterError
from sim.pool import WorkerLostError
from sim.replications import Chunk
from sim.versions import that_differ

GO_ON = "The same command with --resume goes on from there."
MOST_SHOWN = 5  # differences of the plan itself
ONLY_BEGUN = {"made_by", "format"}  # a run stopped before it said what it was
NEEDED = {"scenario", "scenario_hash", "versions", "replications_asked", "replications_done"}


def stored(directory: Path) -> dict[str, Any] | None:
    """What the run in a directory was, or None where there is none that had begun.

    Raises RunDirectoryError, which names the file, where there is one that cannot be read.
    """
    path = directory / MANIFEST
    if not path.exists():
        return None
    try:
        json.loads(path.read_bytes())
    except (OSError, ValueError) as error:
        raise RunDirectoryError(f"{path}: cannot be read, and without it no run can be taken up: {error}") from error
    manifest = read_manifest(directory)
    if set(manifest) == ONLY_BEGUN:
        return None
    if not set(manifest) >= NEEDED:
        raise RunDirectoryError(f"{path}: does not say what was played, so that run cannot be taken up")
    return manifest | {"command": command_of(manifest)}


class Tables(NamedTuple):
    """What a run keeps of its chunks: a part of each of `names`, of which the last says that a chunk is done.

    Tables `beside` these are taken up too, and read by whoever needs them. Those of `a_number` hold for one number of
    replications only, and are begun anew for another.
    """

    names: Collection[str]
    chunks: Sequence[Chunk]
    beside: Collection[str] = ()
    a_number: Collection[str] = ()


@contextmanager
def opened(
    directory: Path, manifest: Mapping[str, Any], overwrite: bool, resume: bool, tables: Tables
) -> Iterator[tuple[RunDirectory, set[int]]]:
    """The directory, held against other runs and ready for the run that the manifest describes; and its chunks done.

    Where a run is taken up only the parts of its `tables` stay; whatever else was made of them will be made again.
    Raises RunDirectoryError before anything is changed if the run that is there is another, or a part is damaged.
    """
    there = stored(directory) if resume else None
    if there is None:
        _refuse_new(directory, manifest["command"], overwrite or _only_begun(directory, resume))
    else:
        _refuse_other(directory, there, manifest)
    with locked(directory):
        if there is None:
            run, done = create(directory, overwrite or _only_begun(directory, resume)), set[int]()
        else:
            run = RunDirectory(directory)
            done = finished(run, tables.chunks, tables.names)
            with naming(directory):
                clear(run, keep=_taken_up(tables, there, manifest))
        write_manifest(run, manifest)
        with _saying_how_to_go_on(run):
            yield run, done


@contextmanager
def opened_if(
    directory: Path | None, manifest: Mapping[str, Any], overwrite: bool, resume: bool, tables: Tables
) -> Iterator[RunDirectory | None]:
    """The same where a directory is asked for; none where none is."""
    if directory is None:
        yield None
        return
    with opened(directory, manifest, overwrite, resume, tables) as (run, _):
        yield run


def _taken_up(tables: Tables, there: Mapping[str, Any], here: Mapping[str, Any]) -> set[str]:
    same = there["replications_asked"] == here["replications_asked"]
    return {*tables.names, *tables.beside, *(tables.a_number if same else ())}


@contextmanager
def _saying_how_to_go_on(run: RunDirectory) -> Iterator[None]:
    """What ends a run that is under way leaves a directory that is valid as far as it goes."""
    try:
        yield
    except (RunDirectoryError, WorkerLostError, ClusterError, NothingPlayedError) as error:
        if isinstance(error, NothingPlayedError) and not any((run.path / TABLES).glob("*/part-*.parquet")):
            raise
        kept = f"{error}\nwhat was played before that is kept in {run.path}; --resume goes on from there"
        raise type(error)(kept) from error


def say_what_is_there(
    run: RunDirectory | None, there: int, n: int, made: str = "answer and pictures", *, at_most: bool = False
) -> None:
    """For who watches, not for who reads the answer, which is the same as if the run had never been stopped."""
    if run is None or not there:
        return
    if at_most:
        print(f"{run.path}: {there} replications are there already; going on from there.", file=sys.stderr)
        return
    todo = f"the {made} are made anew" if there == n else f"going on with the other {n - there}"
    have = f"all {n} replications are" if there == n else f"{there} of {n} replications are"
    print(f"{run.path}: {have} there already; {todo}.", file=sys.stderr)


def _only_begun(directory: Path, resume: bool) -> bool:
    """Whether a run was stopped there before it said what it was, so that starting it loses nothing."""
    return resume and (directory / MANIFEST).exists()


def _refuse_new(directory: Path, command: str, overwrite: bool) -> None:
    try:
        refuse_if_unusable(directory, overwrite)
    except RunDirectoryError as error:
        if directory.is_dir() and not overwrite and _is_of(directory, command):
            raise RunDirectoryError(f"{error}; --resume takes up the run that is there") from error
        raise


def _is_of(directory: Path, command: str) -> bool:
    """Whether the run in a directory is one of this command, which could take it up."""
    try:
        there = stored(directory)
    except RunDirectoryError:
        return False
    return there is not None and there["command"] == command


def _refuse_other(directory: Path, there: Mapping[str, Any], here: Mapping[str, Any]) -> None:
    if there["command"] != here["command"]:
        raise RunDirectoryError(
            f"{directory}: holds a run of '{there['command']}', which {here['command']} --resume does not take up; "
            "choose another directory"
        )
    found = [*_unlike(there, here), *_unlike_versions(there, here), *_fewer(there, here)]
    if found:
        lines = "".join(f"\n  {each}" for each in found)
        raise RunDirectoryError(
            f"{directory}: holds another run, which --resume does not take up:{lines}\n"
            "ask for the run that is there, or choose another directory"
        )


def _unlike(there: Mapping[str, Any], here: Mapping[str, Any]) -> list[str]:
    names = [name for name in {**there, **here} if name not in NEEDED and there.get(name) != here.get(name)]
    found = [_line(name, there.get(name), here.get(name)) for name in names]
    if there.get("scenario_hash") != here["scenario_hash"]:
        plans = list(_differences("", there.get("scenario"), here["scenario"]))
        found += plans[:MOST_SHOWN] or ["the scenario"]
        if len(plans) > MOST_SHOWN:
            found.append(f"and {len(plans) - MOST_SHOWN} more of the scenario")
    return found


def _unlike_versions(there: Mapping[str, Any], here: Mapping[str, Any]) -> list[str]:
    return [_line(name, old, new) for name, (new, old) in that_differ(here["versions"], there["versions"]).items()]


def _fewer(there: Mapping[str, Any], here: Mapping[str, Any]) -> list[str]:
    """More replications than before go on where it ended; fewer would throw some away."""
    asked, now = there["replications_asked"], here["replications_asked"]
    return [_line("replications", asked, f"only {now}")] if now < asked else []


def _differences(place: str, there: Any, here: Any) -> Iterator[str]:
    """What differs between two plans as stated, each with its place in them."""
    if isinstance(there, dict) and isinstance(here, dict):
        for name in [*there, *(name for name in here if name not in there)]:
            yield from _differences(f"{place}.{name}" if place else name, there.get(name), here.get(name))
    elif isinstance(there, list) and isinstance(here, list) and len(there) == len(here):
        for number, pair in enumerate(zip(there, here, strict=True), 1):
            yield from _differences(f"{place}[{number}]", *pair)
    elif there != here:
        yield _line(place, there, here)


def _line(what: str, there: Any, here: Any) -> str:
    return f"{what}: {_short(there)} there, {_short(here)} here"


def _short(value: Any) -> str:
    text = "none" if value is None else str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."
