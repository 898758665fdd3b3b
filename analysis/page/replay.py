"""One replication as its log has it, thinned out to what a screen can show: for the bars and the replay on the pad."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import Any

from analysis.page.folder import NotAllowedError
from analysis.runs.run_directory import RunDirectoryError, read_manifest, read_table

MOST_PIECES, MOST_LEVELS = 8_000, 2_000


def replay_of(directory: Any) -> dict[str, Any]:
    """Pieces of work, waiting and trouble of every unit and well, and the levels of the storage.

    A piece is start and end in hours, what, well, stage, kind and cause. Raises NotAllowedError where there is no log.
    """
    try:
        scenario, log, levels = read_manifest(directory)["scenario"], *_tables(directory)
    except (RunDirectoryError, KeyError) as error:
        raise NotAllowedError("this run has no log yet: it is still being played, or was stopped early") from error
    rows = [tuple(row) for row in log.drop(columns=["replication", "after"]).itertuples(index=False)]
    if not rows:
        raise NotAllowedError("this run has no log yet: it is still being played, or was stopped early")
    last_h, order = max(row[1] for row in rows), [str(well["name"]) for well in scenario["wells"]]
    shortest_h = _shortest(len(rows), last_h)
    return {
        "replication": int(log["replication"].iloc[0]),
        "start": str(scenario["start"]).replace(" ", "T"),
        "last_h": last_h,
        "thinned": shortest_h > 0,
        "units": _by(rows, "unit", shortest_h),
        "wells": dict(sorted(_by(rows, "well", shortest_h).items(), key=lambda each: order.index(each[0]))),
        "pumped": _pumped(rows),
        "storage": _storage(levels),
    }


def _tables(directory: Any) -> tuple[Any, Any]:
    return read_table(directory, "log"), read_table(directory, "levels")


def _shortest(rows: int, last_h: float) -> float:
    """How long a piece must be to be shown by itself; everything is, unless there are too many."""
    return 0.0 if rows <= MOST_PIECES else last_h * rows / MOST_PIECES / 400


def _by(rows: list[tuple[Any, ...]], what: str, shortest_h: float) -> dict[str, list[list[Any]]]:
    """Pieces by unit or by well, in the order of time."""
    found: dict[str, list[list[Any]]] = {}
    for start_h, end_h, unit, activity, well, stage, kind, cause in sorted(rows, key=lambda row: (row[0], row[1])):
        name = unit if what == "unit" else well
        if name and not (what == "unit" and activity == "arrive") and end_h > start_h:
            other = well if what == "unit" else unit
            _join(found.setdefault(name, []), [start_h, end_h, activity, other, int(stage), kind, cause], shortest_h)
    return found


def _join(pieces: list[list[Any]], piece: list[Any], shortest_h: float) -> None:
    """Put a piece behind the others; what is too short to see by itself goes into the piece before it."""
    if pieces and shortest_h and piece[1] - piece[0] < shortest_h and piece[0] - pieces[-1][1] < shortest_h:
        pieces[-1][1] = max(piece[1], pieces[-1][1])
    else:
        pieces.append(piece)


def _pumped(rows: Iterable[tuple[Any, ...]]) -> dict[str, list[float]]:
    """Hours at which each stage of each well was done, in order."""
    ends: dict[str, dict[int, float]] = {}
    for _, end_h, _, activity, well, stage, kind, _ in rows:
        if activity == "pump stage" and kind != "wait":
            of_well = ends.setdefault(well, {})
            of_well[int(stage)] = max(end_h, of_well.get(int(stage), 0.0))
    return {well: sorted(of_well.values()) for well, of_well in ends.items()}


def _storage(levels: Any) -> list[list[float]]:
    """Hours and level of the water storage on the pad."""
    own = levels[levels["supply"] == "water"]
    found = [[float(h), float(level)] for h, level in zip(own["time_h"], own["level"], strict=True) if isfinite(h)]
    step = max(1, len(found) // MOST_LEVELS)
    return found[::step]
