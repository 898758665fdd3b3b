"""One replication as its log has it, thinned out to what a screen can show: for the bars and the replay on the pad."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import Any

from analysis.page.folder import NotAllowedError
from analysis.runs.run_directory import RunDirectoryError, read_manifest, read_table

MOST_PIECES, MOST_LEVELS = 40_000, 2_000  # of units and as many of wells; of the storage
LONGEST_H = 1_000.0  # beyond which nothing is left to join
Pieces = dict[str, list[list[Any]]]


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
    units, wells, shortest_h = _shown(rows)
    return {
        "replication": int(log["replication"].iloc[0]),
        "start": str(scenario["start"]).replace(" ", "T"),
        "last_h": last_h,
        "thinned": shortest_h > 0,
        "units": units,
        "wells": dict(sorted(wells.items(), key=lambda each: order.index(each[0]))),
        "pumped": _pumped(rows),
        "storage": _storage(levels),
    }


def _tables(directory: Any) -> tuple[Any, Any]:
    return read_table(directory, "log"), read_table(directory, "levels")


def _shown(rows: list[tuple[Any, ...]]) -> tuple[Pieces, Pieces, float]:
    """Pieces by unit and by well, and how long one must be to be shown by itself: no longer than their number asks."""
    units, wells, shortest_h = _by(rows, "unit"), _by(rows, "well"), 0.0
    shown = units, wells
    while shortest_h < LONGEST_H and sum(len(own) for each in shown for own in each.values()) > 2 * MOST_PIECES:
        shortest_h = 2.0 * shortest_h or 1.0
        shown = _thinned(units, shortest_h), _thinned(wells, shortest_h)
    return *shown, shortest_h


def _by(rows: list[tuple[Any, ...]], what: str) -> Pieces:
    """Pieces by unit or by well, in the order of time."""
    found: Pieces = {}
    for start_h, end_h, unit, activity, well, stage, kind, cause in sorted(rows, key=lambda row: (row[0], row[1])):
        name = unit if what == "unit" else well
        if name and not (what == "unit" and activity == "arrive") and end_h > start_h:
            other = well if what == "unit" else unit
            found.setdefault(name, []).append([start_h, end_h, activity, other, int(stage), kind, cause])
    return found


def _thinned(found: Pieces, shortest_h: float) -> Pieces:
    """The same with the short ones joined."""
    thinned: Pieces = {name: [] for name in found}
    for name, pieces in found.items():
        for piece in pieces:
            _join(thinned[name], list(piece), shortest_h)
    return thinned


def _join(pieces: list[list[Any]], piece: list[Any], shortest_h: float) -> None:
    """Put a piece behind the others; what is too short to see by itself goes into the piece before it."""
    if pieces and piece[1] - piece[0] < shortest_h and piece[0] - pieces[-1][1] < shortest_h:
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
