"""A long table of few words as a frame that takes little: words are categories, and no row is held twice."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
from numpy.typing import NDArray

from analysis.runs.run_tables import read_part, schema_of

Codes = dict[str, int]


def coded(table: str, parts: Iterable[Path | BytesIO]) -> pd.DataFrame:
    """The rows of these parts in their order; words are categories, in the order of the alphabet.

    Columns are put together one after the other. Raises UnreadablePartError.
    """
    schema = schema_of(table)
    codes: dict[str, Codes] = {field.name: {} for field in schema if field.type == pa.string()}
    pieces: dict[str, list[NDArray[Any]]] = {name: [np.empty(0, _type(schema.field(name)))] for name in schema.names}
    for part in parts:
        rows = read_part(part, schema)
        for name in schema.names:
            pieces[name].append(_values(rows[name], codes.get(name)))
    columns = {name: _column(np.concatenate(pieces.pop(name)), codes.get(name)) for name in schema.names}
    return pd.DataFrame(columns, copy=False)


def _type(field: pa.Field) -> Any:
    return np.int16 if field.type == pa.string() else field.type.to_pandas_dtype()


def _values(column: pa.ChunkedArray, codes: Codes | None) -> NDArray[Any]:
    """Numbers as they are, words as codes, new ones with the next."""
    if codes is None:
        return np.asarray(column.to_numpy())
    encoded = column.combine_chunks().dictionary_encode()
    known = [codes.setdefault(word, len(codes)) for word in encoded.dictionary.to_pylist()]
    return np.take(np.array(known, dtype=np.int16), np.asarray(encoded.indices.to_numpy()))


def _column(values: NDArray[Any], codes: Codes | None) -> Any:
    if codes is None:
        return values
    unordered = pd.Categorical.from_codes(values, categories=pd.Index(list(codes), dtype="str"))
    return unordered.reorder_categories(sorted(codes))
