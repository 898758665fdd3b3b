"""Long tables of a run taken some replications at a time, and sums over them that take no more than their result.

Lines of cost and fuel are several times as long as the amounts that they are made of, and only their sums are wanted.
A replication is never parted, so its sums are the same, to the bit, whatever the size of a block.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    import pandas as pd

REPLICATIONS = 500  # of a block


def blocks(rows: pd.DataFrame) -> Iterator[pd.DataFrame]:
    """A table that is sorted by replication in pieces, words as words; one piece without rows if it has none."""
    words = {name: "str" for name, kind in rows.dtypes.items() if kind == "category"}
    replications = rows["replication"].to_numpy()
    firsts = np.flatnonzero(np.diff(replications, prepend=-1))  # where each replication begins
    starts = [*firsts[::REPLICATIONS].tolist()] or [0]
    for start, end in zip(starts, [*starts[1:], len(rows)], strict=True):
        yield rows.iloc[start:end].astype(words)


def summed(rows: pd.DataFrame, by: str | list[str], value: str) -> pd.DataFrame:
    """Sums of a block: a row for each replication, a column for each word, or words, in `by`."""
    return rows.pivot_table(index="replication", columns=by, values=value, aggfunc="sum", fill_value=0.0)


def together(sums: Sequence[pd.DataFrame], replications: Sequence[int]) -> pd.DataFrame:
    """Sums of all blocks, a row for each of these replications; columns in order, and 0 where there was nothing."""
    import pandas as pd

    columns: list[Any] = sorted({column for each in sums for column in each.columns})
    filled = [each.reindex(columns=columns, fill_value=0.0) for each in sums if len(each)]
    whole = pd.concat(filled) if filled else pd.DataFrame(columns=columns)
    return whole.reindex(index=list(replications), fill_value=0.0)
