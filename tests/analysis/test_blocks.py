"""Long tables in blocks of replications: nothing lost, nothing parted, and the very sums of the whole."""

from __future__ import annotations

import itertools

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.pricing import blocks as module
from analysis.pricing.blocks import blocks, summed, together

AMOUNTS = st.floats(-1e6, 1e6, allow_nan=False)
ROWS = st.lists(st.tuples(st.integers(0, 12), st.sampled_from(["day", "night", "fuel"]), AMOUNTS), max_size=40)


def table(rows: list[tuple[int, str, float]]) -> pd.DataFrame:
    frame = pd.DataFrame(sorted(rows, key=lambda row: row[0]), columns=["replication", "what", "amount"])
    return frame.astype({"replication": "int64", "what": "str", "amount": "float64"})


@settings(derandomize=True, deadline=None, max_examples=60)
@given(rows=ROWS, size=st.integers(1, 5))
def test_sums_are_those_of_the_whole_to_the_bit(rows: list[tuple[int, str, float]], size: int) -> None:
    """Whatever the size of a block, and for words as categories too; replications without rows have none."""
    whole = table(rows)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "REPLICATIONS", size)
        parts = list(blocks(whole.astype({"what": "category"})))
    assert pd.concat(parts, ignore_index=True).astype(whole.dtypes).equals(whole)
    assert all(not set(one["replication"]) & set(other["replication"]) for one, other in itertools.pairwise(parts))
    assert all(part["replication"].nunique() <= size for part in parts)
    found = together([summed(part, "what", "amount") for part in parts], range(14))
    at_once = together([summed(whole, "what", "amount")], range(14))
    assert found.to_numpy(dtype=float).tobytes() == at_once.to_numpy(dtype=float).tobytes()
    assert list(found.columns) == sorted(set(whole["what"]))
