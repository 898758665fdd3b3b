"""Where a run may be written: nothing of anyone else's removed, nothing begun in an unusable place."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from analysis.runs.run_directory import (
    FORMAT,
    RunDirectoryError,
    create,
    read_manifest,
    read_table,
    refuse_if_unusable,
    write_manifest,
    write_part,
    write_summary,
)
from tests.analysis.run_rows import files_below, no_room, unit_rows


def test_a_new_directory_is_made_with_its_parents(tmp_path: Path) -> None:
    """Missing directories on the way are made; the result is known as ours at once."""
    refuse_if_unusable(tmp_path / "a" / "b", overwrite=False)
    assert not (tmp_path / "a").exists()
    run = create(str(tmp_path / "a" / "b"), overwrite=False)
    assert run.path == tmp_path / "a" / "b"
    assert read_manifest(run.path) == {"made_by": "padtempo", "format": FORMAT}


def test_an_empty_directory_is_used(tmp_path: Path) -> None:
    """Nothing is lost by writing into an empty directory, nor into one where only our first file was begun."""
    create(tmp_path, overwrite=False)
    for path in tmp_path.iterdir():
        path.unlink()
    (tmp_path / "manifest.json.tmp").write_text("{")
    create(tmp_path, overwrite=False)
    assert files_below(tmp_path) == {"manifest.json"}


def occupied(tmp_path: Path) -> Path:
    (tmp_path / "notes.txt").write_text("mine")
    return tmp_path


def ours(tmp_path: Path) -> Path:
    return create(tmp_path / "run", overwrite=False).path


def a_file(tmp_path: Path) -> Path:
    (tmp_path / "out").write_text("mine")
    return tmp_path / "out"


def below_a_file(tmp_path: Path) -> Path:
    return a_file(tmp_path) / "x" / "run"


def link_to_nothing(tmp_path: Path) -> Path:
    (tmp_path / "out").symlink_to(tmp_path / "gone")
    return tmp_path / "out"


def like_ours(tmp_path: Path) -> Path:
    (tmp_path / "manifest.json").write_text('{"made_by": "someone else"}')
    return tmp_path


def broken_manifest(tmp_path: Path) -> Path:
    (tmp_path / "manifest.json").write_text('{"made_by": "padtempo"')
    return tmp_path


def list_manifest(tmp_path: Path) -> Path:
    (tmp_path / "manifest.json").write_text('["made_by", "padtempo"]')
    return tmp_path


def name_too_long(tmp_path: Path) -> Path:
    return tmp_path / ("x" * 300)


NOT_OURS = "is not empty and holds no earlier run of padtempo, so --overwrite will not clear it"
NOT_A_DIRECTORY = "is not a directory; choose another path"


@pytest.mark.parametrize(
    ("place", "overwrite", "message"),
    [
        (occupied, False, "is not empty; choose another directory or add --overwrite"),
        (ours, False, "is not empty; choose another directory or add --overwrite"),
        (occupied, True, NOT_OURS),
        (like_ours, True, NOT_OURS),
        (broken_manifest, True, NOT_OURS),
        (list_manifest, True, NOT_OURS),
        (a_file, False, f"out: {NOT_A_DIRECTORY}"),
        (a_file, True, f"out: {NOT_A_DIRECTORY}"),
        (below_a_file, False, f"{os.sep}out {NOT_A_DIRECTORY}"),
        (link_to_nothing, True, f"out: {NOT_A_DIRECTORY}"),
        (name_too_long, False, "cannot be written: "),
    ],
)
def test_unusable_places_are_refused_untouched(
    tmp_path: Path, place: Callable[[Path], Path], overwrite: bool, message: str
) -> None:
    """Asked beforehand or on creating, the refusal is one line with the path, and nothing has changed."""
    path = place(tmp_path)
    before = {name: (tmp_path / name).read_bytes() for name in files_below(tmp_path)}
    for refuse in (refuse_if_unusable, create):
        with pytest.raises(RunDirectoryError) as info:
            refuse(path, overwrite)
        said = str(info.value)
        assert said.startswith(f"{path}: ")
        assert message in said
        assert "\n" not in said
    assert {name: (tmp_path / name).read_bytes() for name in files_below(tmp_path)} == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_place_without_permission_is_refused(tmp_path: Path) -> None:
    """A directory that may not be written to, itself or as the parent, is refused by name."""
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o555)
    for path in (locked, locked / "run"):
        with pytest.raises(RunDirectoryError, match=f"no permission to write in {locked}"):
            refuse_if_unusable(path, overwrite=False)


def test_no_permission_is_what_the_system_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same refusal for whoever runs the tests: the system is asked about the nearest directory there is."""
    asked = []
    monkeypatch.setattr(os, "access", lambda path, mode: asked.append((path, mode)))
    with pytest.raises(RunDirectoryError, match=f"no permission to write in {tmp_path}; choose another"):
        create(tmp_path / "a" / "run", overwrite=False)
    assert asked == [(tmp_path, os.W_OK | os.X_OK)]
    assert not list(tmp_path.iterdir())


def test_overwriting_removes_our_files_only(tmp_path: Path) -> None:
    """An earlier run's parts, leftovers and summary go; whatever else lies there stays."""
    run = create(tmp_path / "run", overwrite=False)
    for table in ("units", "wells"):
        write_part(run, table, 0, [])
    (run.path / "tables" / "units" / "part-00001.parquet.tmp").write_bytes(b"half")
    write_manifest(run, {"made_by": "padtempo", "format": FORMAT, "seed": 5})
    write_summary(run, {"p90": 1.0})
    kept = {"notes.txt", "tables/units/mine.parquet", "tables/readme", "photos/part-00000.parquet"}
    for name in kept:
        (run.path / name).parent.mkdir(exist_ok=True)
        (run.path / name).write_text("mine")
    again = create(run.path, overwrite=True)
    assert files_below(run.path) == kept | {"manifest.json"}
    assert not (run.path / "tables" / "wells").exists()
    assert read_manifest(again.path) == {"made_by": "padtempo", "format": FORMAT}
    assert len(read_table(again.path, "units")) == 0


def test_killed_while_overwriting_is_still_ours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Interrupted half-way through clearing, the directory claims no results and can be overwritten again."""
    run = create(tmp_path / "run", overwrite=False)
    write_part(run, "units", 0, unit_rows(0, [1.0]))
    write_manifest(run, {"made_by": "padtempo", "format": FORMAT, "replications_done": 1})
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", no_room)
        with pytest.raises(RunDirectoryError, match="cannot be written"):
            create(run.path, overwrite=True)
    assert "replications_done" not in read_manifest(run.path)
    create(run.path, overwrite=True)
    assert files_below(run.path) == {"manifest.json"}


@pytest.mark.parametrize("place", [occupied, like_ours, broken_manifest, below_a_file, name_too_long])
def test_reading_where_there_is_no_run(tmp_path: Path, place: Callable[[Path], Path]) -> None:
    """Reading from a directory that is not a run says so instead of giving an empty table."""
    path = place(tmp_path)
    with pytest.raises(RunDirectoryError, match=r": holds no run; expected|manifest.json: cannot be read"):
        read_table(path, "pads")
