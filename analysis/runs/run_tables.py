"""The tables of a run: which columns each has, and rows to and from the bytes of one Parquet part.

The columns are fixed here, so that parts written weeks apart by different workers always fit together. Hours
count from the scenario's start; what the horizon cut off is +inf. There are no missing values.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from math import inf
from pathlib import Path
from typing import Any, get_type_hints

import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from analysis.chains.chain import EndRow, PieceRow
from analysis.measures import AmountRow, PadRow, ShutInRow, UnitRow, VisitRow, WellRow
from analysis.relaxing.relax import RelaxedRow
from analysis.runs.point_rows import OF_POINTS, PointRow
from analysis.supply_measures import ShortageRow, SupplyRow
from sim.log import Interval, Level

Rows = Sequence[tuple[Any, ...]]


class UnreadablePartError(ValueError):
    """A part is damaged or has other columns; the message is one line that names the file."""


ADDED = frozenset({"first_h"})  # columns at the end of a table that older runs are without: as if never reached
_TYPES = {int: pa.int64(), float: pa.float64()}


def _schema(row: type, **more: type) -> pa.Schema:
    """Columns of a table whose rows are these named tuples; what is neither count nor number is text."""
    types = {"replication": int, **more, **get_type_hints(row)}
    return pa.schema([pa.field(name, _TYPES.get(kind, pa.string()), nullable=False) for name, kind in types.items()])


SCHEMAS: dict[str, pa.Schema] = {
    "pads": _schema(PadRow),
    "wells": _schema(WellRow),
    "units": _schema(UnitRow),
    "visits": _schema(VisitRow),
    "supplies": _schema(SupplyRow),
    "shortages": _schema(ShortageRow),
    "shut_ins": _schema(ShutInRow),
    "amounts": _schema(AmountRow),
    "log": _schema(Interval),
    "levels": _schema(Level),
    "chain_ends": _schema(EndRow),
    "chain_pieces": _schema(PieceRow),
    "relaxed": _schema(RelaxedRow),
    "relaxed_pairs": _schema(RelaxedRow),
    "compared": _schema(PadRow, plan=str),
    **{table: _schema(PointRow) for table in OF_POINTS},
}
"""Every table starts with the replication its rows belong to."""


def schema_of(table: str) -> pa.Schema:
    """The columns of a table by its name."""
    if table not in SCHEMAS:
        raise ValueError(f"there is no table {table!r}: expected one of {', '.join(SCHEMAS)}")
    return SCHEMAS[table]


def encode(table: str, rows: Rows) -> bytes:
    """Rows, each a tuple in the order of the table's columns, as the bytes of one Parquet file.

    Named tuples must carry the table's names. Equal rows give equal bytes.
    """
    schema = schema_of(table)
    _check_names(table, schema, rows)
    try:
        filled = _fill(schema, rows)
    except (pa.ArrowException, TypeError, ValueError) as error:
        raise ValueError(f"table {table}: rows do not fit its columns: {error}") from error
    _check_values(table, filled)
    buffer = pa.BufferOutputStream()
    numbers = [field.name for field in schema if field.type == pa.float64()]
    others = [field.name for field in schema if field.type != pa.float64()]
    pq.write_table(filled, buffer, compression="zstd", use_dictionary=others, use_byte_stream_split=numbers)
    return bytes(buffer.getvalue().to_pybytes())


def decode(table: str, parts: Iterable[Path | BytesIO]) -> pd.DataFrame:
    """The rows of these parts by replication; within a replication as they were written.

    Raises UnreadablePartError.
    """
    schema = schema_of(table)
    whole = pa.concat_tables([schema.empty_table(), *(read_part(part, schema) for part in parts)])
    frame: pd.DataFrame = whole.to_pandas(split_blocks=True, self_destruct=True)  # rows are never there twice
    del whole
    if frame["replication"].is_monotonic_increasing:
        return frame
    return frame.sort_values("replication", kind="stable", ignore_index=True)


def replications_of(table: str, part: Path) -> set[int]:
    """Which replications have rows in a part. Raises UnreadablePartError."""
    return set(read_part(part, schema_of(table))["replication"].unique().to_pylist())


def _fill(schema: pa.Schema, rows: Rows) -> pa.Table:
    if not rows:
        return schema.empty_table()
    columns = zip(*rows, strict=True)
    arrays = [_array(field, column) for field, column in zip(schema, columns, strict=True)]
    return pa.Table.from_arrays(arrays, schema=schema)


def _array(field: pa.Field, column: Sequence[Any]) -> pa.Array:
    if field.type != pa.int64():
        return pa.array(column, field.type)
    counts = pa.array(column)  # asked for integers outright, pyarrow cuts 1.5 down to 1 without a word
    if not pa.types.is_integer(counts.type):
        raise TypeError(f"{field.name} holds {counts.type} values, expected whole numbers")
    return counts.cast(pa.int64())


def _check_names(table: str, schema: pa.Schema, rows: Rows) -> None:
    names = getattr(rows[0], "_fields", None) if rows else None
    if names is not None and list(names) != schema.names:
        raise ValueError(f"table {table}: rows are named {list(names)}, expected {schema.names}")


def _check_values(table: str, filled: pa.Table) -> None:
    """A time not reached is +inf: an empty cell or NaN would silently drop out of every quantile."""
    for name, column in zip(filled.column_names, filled.columns, strict=True):
        bad = pc.is_null(column, nan_is_null=True)
        row = pc.index(bad, True).as_py()
        if row >= 0:
            replication = filled["replication"][row].as_py()
            raise ValueError(f"table {table}: {name} of replication {replication} is empty or not a number")


def read_part(part: Path | BytesIO, schema: pa.Schema) -> pa.Table:
    """The rows of one part. Raises UnreadablePartError, which names the file."""
    try:
        with pq.ParquetFile(part) as file:
            rows = file.read()
    except (pa.ArrowException, OSError) as error:
        reason = str(error).partition("\n")[0]
        raise UnreadablePartError(f"{part}: cannot be read as a part of a run: {reason}") from error
    rows = _filled_up(rows, schema)
    if not rows.schema.equals(schema):
        raise UnreadablePartError(f"{part}: has the columns {rows.schema.names}, expected {schema.names}")
    return rows


def _filled_up(rows: pa.Table, schema: pa.Schema) -> pa.Table:
    """An older part, with the columns that have been added since."""
    for field in schema:
        if field.name in ADDED and field.name not in rows.column_names:
            rows = rows.append_column(field, pa.array([inf] * rows.num_rows, field.type))
    return rows
