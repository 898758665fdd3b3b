"""Parts of a run's tables as chunks of replications end: in the run directory or, without one, in memory.

Encoded in either case: a tenth of what the rows take as objects, so that memory hardly grows while a run goes on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from sim.replications import Chunk

if TYPE_CHECKING:
    import pandas as pd

    from analysis.runs.run_directory import RunDirectory
    from analysis.runs.run_tables import Rows


CODED = {"units", "amounts"}  # long tables of few words, which are categories in their frames: a third of the memory


class Parts:
    """Where the parts of one run are."""

    def __init__(self, run: RunDirectory | None) -> None:
        self._run = run
        self._held: dict[tuple[str, int], bytes] = {}

    def write(self, table: str, chunk: int, rows: Rows) -> None:
        """Keep the rows of a chunk. Raises RunDirectoryError when they cannot be written."""
        if self._run is None:
            from analysis.runs.run_tables import encode

            self._held[table, chunk] = encode(table, rows)
        else:
            from analysis.runs.run_directory import write_part

            write_part(self._run, table, chunk, rows)

    def frame(self, table: str, chunks: Collection[int]) -> pd.DataFrame:
        """The rows of these chunks, in the order of replications. What was held in memory for them is let go of.

        Raises RunDirectoryError, which names the file, when a part is damaged.
        """
        from analysis.runs.coded_frames import coded
        from analysis.runs.run_directory import RunDirectoryError
        from analysis.runs.run_tables import UnreadablePartError, decode

        try:
            return (coded if table in CODED else decode)(table, self._read(table, sorted(chunks)))
        except UnreadablePartError as error:
            raise RunDirectoryError(str(error)) from error

    def _read(self, table: str, chunks: list[int]) -> Iterator[Path | BytesIO]:
        found = {} if self._run is None else self._run.parts(table)
        for chunk in chunks:
            yield found[chunk] if chunk in found else BytesIO(self._held.pop((table, chunk)))


def finished(run: RunDirectory, chunks: Iterable[Chunk], tables: Collection[str]) -> set[int]:
    """The chunks that the directory holds in full: a part of every table, that of the last with each replication.

    Raises RunDirectoryError, which names the file, when a part is damaged or holds replications of other chunks.
    """
    found = {table: run.parts(table) for table in tables}
    return {
        number
        for number, replications in chunks
        if _held({table: found[table].get(number) for table in tables}, replications) == set(replications)
    }


def _held(parts: dict[str, Path | None], replications: range) -> set[int]:
    """The replications of a chunk of which there is everything, from its parts by table."""
    from analysis.runs.run_directory import RunDirectoryError, replications_in

    held = {table: replications_in(table, part) for table, part in parts.items() if part is not None}
    for table, found in held.items():
        if not found <= set(replications):
            expected = f"{replications.start} to {replications.stop - 1}"
            raise RunDirectoryError(f"{parts[table]}: holds other replications than {expected}; remove it to go on")
    return held[list(parts)[-1]] if len(held) == len(parts) else set()
