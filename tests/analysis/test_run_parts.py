"""Parts of the tables of a run: the same bits back, and nothing half-written."""

from __future__ import annotations

import errno
import math
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple, get_type_hints

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.runs.coded_frames import coded
from analysis.runs.run_directory import (
    RunDirectory,
    RunDirectoryError,
    create,
    read_table,
    write_part,
    write_summary,
)
from analysis.runs.run_tables import SCHEMAS, UnreadablePartError, decode, encode
from sim.log import Interval, Level
from tests.analysis.run_rows import AWKWARD_HOURS, bits, files_below, no_room, unit_rows


@pytest.fixture
def run(tmp_path: Path) -> RunDirectory:
    return create(tmp_path / "run", overwrite=False)


def test_log_tables_have_the_fields_of_the_log() -> None:
    """The columns stated for Parquet are the replication and then the log's own fields, in order and kind."""
    for schema, row in ((SCHEMAS["log"], Interval), (SCHEMAS["levels"], Level)):
        kinds = {float: pa.float64(), int: pa.int64()}
        hints = [kinds.get(hint, pa.string()) for hint in get_type_hints(row).values()]
        assert schema.names == ["replication", *row._fields]
        assert schema.types == [pa.int64(), *hints]


def test_floats_come_back_bit_for_bit(run: RunDirectory) -> None:
    """Every float, +inf and minus zero among them, is read back with the same 64 bits."""
    write_part(run, "units", 0, unit_rows(0, AWKWARD_HOURS))
    assert bits(read_table(run.path, "units")["hours"]) == bits(AWKWARD_HOURS)


@given(hours=st.lists(st.floats(allow_nan=False), max_size=50))
def test_any_floats_survive_encoding(tmp_path_factory: pytest.TempPathFactory, hours: list[float]) -> None:
    """The same for whatever floats there are, and for none at all."""
    part = tmp_path_factory.mktemp("part") / "part"
    part.write_bytes(encode("units", unit_rows(3, hours)))
    assert bits(decode("units", [part])["hours"]) == bits(hours)


def test_columns_have_the_same_types_with_and_without_rows(run: RunDirectory) -> None:
    """Numbers are int64 or float64 and texts are text, in an empty table as in a full one."""
    expected = {"replication": "int64", "start_h": "float64", "unit": "str", "stage": "int64", "kind": "str"}
    empty = read_table(run.path, "log")
    assert list(empty.columns) == SCHEMAS["log"].names
    assert len(empty) == 0
    write_part(run, "log", 0, [(7, *Interval(0.0, 2.5, "Fleet A", "pump stage", "H-1", 3, "work", "", -1))])
    full = read_table(run.path, "log")
    for frame in (empty, full):
        assert {name: str(frame[name].dtype) for name in expected} == expected
    assert full.iloc[0].tolist() == [7, 0.0, 2.5, "Fleet A", "pump stage", "H-1", 3, "work", "", -1]


def test_reading_does_not_depend_on_the_order_of_finishing(tmp_path: Path) -> None:
    """Chunks that ended in any order read alike: by replication, within one as it was written."""
    chunks = {
        chunk: [row for r in (2 * chunk, 2 * chunk + 1) for row in unit_rows(r, [9.0, 1.0, 5.0])] for chunk in range(12)
    }
    frames = []
    for name, order in (("up", range(12)), ("down", range(11, -1, -1)), ("mixed", (5, 0, 11, *range(1, 5)))):
        each = create(tmp_path / name, overwrite=False)
        for chunk in [*order, *set(chunks).difference(order)]:
            write_part(each, "units", chunk, chunks[chunk])
        frames.append(read_table(each.path, "units"))
    assert frames[0]["replication"].tolist() == [r for r in range(24) for _ in range(3)]
    assert frames[0]["hours"].tolist() == [9.0, 1.0, 5.0] * 24
    assert all(frame.equals(frames[0]) for frame in frames[1:])


def test_replications_are_sorted_even_if_chunks_overlap(run: RunDirectory) -> None:
    """A replication's rows stay in their order when replications are interleaved over chunks."""
    write_part(run, "units", 0, [*unit_rows(4, [3.0, 2.0]), *unit_rows(1, [8.0, 7.0])])
    write_part(run, "units", 1, unit_rows(2, [6.0, 5.0]))
    frame = read_table(run.path, "units")
    assert frame["replication"].tolist() == [1, 1, 2, 2, 4, 4]
    assert frame["hours"].tolist() == [8.0, 7.0, 6.0, 5.0, 3.0, 2.0]


def test_hundred_thousandth_chunk_comes_after_the_second(run: RunDirectory) -> None:
    """Parts are ordered by number, not by the letters of their names."""
    for chunk in (100_000, 20_000, 2):
        write_part(run, "units", chunk, unit_rows(1, [float(chunk)]))
    assert list(run.parts("units")) == [2, 20_000, 100_000]
    assert read_table(run.path, "units")["hours"].tolist() == [2.0, 20_000.0, 100_000.0]


def test_equal_rows_give_equal_files(run: RunDirectory) -> None:
    """Two parts of the same rows are the same bytes: nothing of the clock or the machine's state is in them."""
    rows = unit_rows(0, AWKWARD_HOURS)
    assert encode("units", rows) == encode("units", list(rows))


def test_chunk_without_rows_is_a_part(run: RunDirectory) -> None:
    """A chunk that had nothing to log is known to be done."""
    write_part(run, "log", 4, [])
    assert list(run.parts("log")) == [4]
    assert len(read_table(run.path, "log")) == 0


def test_a_chunk_written_twice_counts_once(run: RunDirectory) -> None:
    """A chunk done again after a crash replaces its part."""
    write_part(run, "units", 0, unit_rows(0, [1.0, 2.0]))
    write_part(run, "units", 0, unit_rows(0, [1.0]))
    assert read_table(run.path, "units")["hours"].tolist() == [1.0]


def test_equals_sign_in_the_path_is_no_column(tmp_path: Path) -> None:
    """A directory called `storage=40` is a directory, not a column of the table."""
    run = create(tmp_path / "storage=40", overwrite=False)
    write_part(run, "units", 0, unit_rows(0, [1.0]))
    assert list(read_table(run.path, "units").columns) == SCHEMAS["units"].names


class Misnamed(NamedTuple):
    """The right number of fields of the right kinds, two of them changed over."""

    replication: int
    unit: str
    reason: str
    kind: str
    hours: float


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ([(0, "Fleet A", "work", "swap", math.nan)], "hours of replication 0 is empty or not a number"),
        ([(0, "A", "work", "swap", 1.0), (9, "A", "work", None, 1.0)], "reason of replication 9 is empty"),
        ([(0, "Fleet A", "work", "swap", None)], "hours of replication 0 is empty"),
        ([(0.5, "Fleet A", "work", "swap", 1.0)], "replication holds double values, expected whole numbers"),
        ([(None, "Fleet A", "work", "swap", 1.0)], "replication holds null values"),
        ([(0, "Fleet A", "work", 3, 1.0)], "rows do not fit"),
        ([(0, "Fleet A", "work", "swap")], "rows do not fit"),
        ([(0, "Fleet A", "work", "swap", 1.0), (0, "Fleet A", "work", "swap")], "rows do not fit"),
        ([Misnamed(0, "Fleet A", "swap", "work", 1.0)], "rows are named"),
    ],
)
def test_rows_that_do_not_fit_are_refused(run: RunDirectory, rows: list[Any], message: str) -> None:
    """Nothing is written of rows with a missing, fractional, misplaced or undefined value."""
    with pytest.raises(ValueError, match=f"table units: .*{message}"):
        write_part(run, "units", 0, rows)
    assert files_below(run.path) == {"manifest.json"}


def test_unknown_table_is_named(run: RunDirectory) -> None:
    """A misspelt table is an error that lists the tables there are."""
    for call in (lambda: write_part(run, "well", 0, []), lambda: read_table(run.path, "well")):
        with pytest.raises(
            ValueError,
            match=r"no table 'well': expected one of pads, wells, units, visits, supplies, shortages, .*, log, levels",
        ):
            call()
    with pytest.raises(ValueError, match="chunk_index is -1"):
        write_part(run, "wells", -1, [])


def test_damaged_or_foreign_part_is_named(run: RunDirectory) -> None:
    """A part that cannot be read, or has other columns, is an error that names the file."""
    write_part(run, "units", 0, unit_rows(0, [1.0]))
    part = run.parts("units")[0]
    part.write_bytes(part.read_bytes()[:-9])
    with pytest.raises(RunDirectoryError, match=r"part-00000.parquet: cannot be read as a part of a run: .") as info:
        read_table(run.path, "units")
    assert isinstance(info.value.__cause__, UnreadablePartError)
    assert "\n" not in str(info.value)
    pq.write_table(pa.table({"replication": [1]}), part)
    with pytest.raises(RunDirectoryError, match=r"part-00000.parquet: has the columns \['replication'\]"):
        read_table(run.path, "units")


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_full_disk_leaves_the_earlier_part(run: RunDirectory, monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    """When the disk is full the message says so and where; what was there before is untouched."""
    write_part(run, "units", 0, unit_rows(0, [1.0]))
    before = files_below(run.path)
    with monkeypatch.context() as patch:
        patch.setattr(os, step, no_room)
        for chunk in (0, 1):
            with pytest.raises(RunDirectoryError, match=f"part-0000{chunk}.parquet: cannot be written: No space left"):
                write_part(run, "units", chunk, unit_rows(5, [2.0]))
        with pytest.raises(RunDirectoryError, match=r"summary.json: cannot be written: No space left"):
            write_summary(run, {})
    assert files_below(run.path) == before
    assert read_table(run.path, "units")["hours"].tolist() == [1.0]


def killed_writer(directory: Path, step: str) -> subprocess.CompletedProcess[bytes]:
    """A process that dies of SIGKILL at this step of writing its second part."""
    program = f"""
import os, signal
from pathlib import Path
from analysis.runs.coded_frames import coded
from analysis.runs.run_directory import RunDirectory, create, write_part
run = create(Path({str(directory)!r}), overwrite=False)
write_part(run, "units", 0, [(0, "Fleet A", "work", "swap", 1.0)])
os.{step} = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
write_part(run, "units", 1, [(1, "Fleet A", "work", "swap", 2.0)])
"""
    return subprocess.run([sys.executable, "-c", program], check=False)


@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is a POSIX signal")
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_killed_while_writing_leaves_only_whole_parts(tmp_path: Path, step: str) -> None:
    """A process killed outright in the middle of a part leaves that part out; writing it again completes it."""
    assert killed_writer(tmp_path / "run", step).returncode == -signal.SIGKILL
    run = RunDirectory(tmp_path / "run")
    assert "tables/units/part-00001.parquet.tmp" in files_below(run.path)
    assert list(run.parts("units")) == [0]
    assert read_table(run.path, "units")["replication"].tolist() == [0]
    write_part(run, "units", 1, unit_rows(1, [2.0]))
    assert read_table(run.path, "units")["hours"].tolist() == [1.0, 2.0]
    assert not any(name.endswith(".tmp") for name in files_below(run.path))


def test_file_size_limit_of_the_system_is_reported(tmp_path: Path) -> None:
    """A real refusal by the system, half-way through the bytes, becomes one line and no part."""
    pytest.importorskip("resource")
    directory = tmp_path / "run"
    program = f"""
from pathlib import Path
from analysis.runs.coded_frames import coded
from analysis.runs.run_directory import RunDirectoryError, create, write_part
import resource
run = create(Path({str(directory)!r}), overwrite=False)
import analysis.runs.run_tables
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, resource.RLIM_INFINITY))
try:
    write_part(run, "units", 0, [(0, "Fleet A", "work", "swap", 1 / (n + 1)) for n in range(5000)])
except RunDirectoryError as error:
    print(error)
"""
    shown = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True)
    part = directory / "tables" / "units" / "part-00000.parquet"
    assert shown.stdout == f"{part}: cannot be written: {os.strerror(errno.EFBIG)}\n"
    assert files_below(directory) == {"manifest.json"}


def test_coded_words_are_the_words(run: RunDirectory) -> None:
    """A frame with words as categories, in the order of the alphabet, holds the rows of the plain one, bit for bit."""
    for chunk, reasons in enumerate((["swap", "pump stage"], [], ["wireline", "swap"])):
        rows = [(chunk, "Fleet A", "work", reason, hours) for reason in reasons for hours in AWKWARD_HOURS]
        write_part(run, "units", chunk, rows)
    plain, found = read_table(run.path, "units"), coded("units", run.parts("units").values())
    assert list(found) == list(plain)
    assert bits(found["hours"]) == bits(plain["hours"])
    assert found["replication"].dtype == plain["replication"].dtype
    for word in ("unit", "kind", "reason"):
        assert found[word].tolist() == plain[word].tolist()
        assert list(found[word].cat.categories) == sorted(set(plain[word]))
    assert len(coded("units", [])) == 0


def test_older_parts_are_read_without_what_was_added_since(tmp_path: Path) -> None:
    """A time that nobody noted then counts as never reached; any other missing column is still refused."""
    part = tmp_path / "part.parquet"
    schema = SCHEMAS["shortages"]
    older = schema.remove(schema.get_field_index("first_h"))
    rows = pa.table({"replication": [0], "supply": ["water"], "part": ["source"], "hours": [2.5]}, schema=older)
    pq.write_table(rows, part)
    (row,) = decode("shortages", [part]).itertuples(index=False, name=None)
    assert row == (0, "water", "source", 2.5, math.inf)
    pq.write_table(rows.drop_columns(["hours"]), part)
    with pytest.raises(UnreadablePartError, match="has the columns"):
        decode("shortages", [part])
