"""What the command says where it cannot open a page: plainly, with exit code 2."""

from __future__ import annotations

import socket
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from opened import PAD

from analysis.cli import main


def refused(*arguments: str) -> str:
    """What the command says as it refuses."""
    result = CliRunner().invoke(main, ["page", "--no-browser", *arguments])
    assert result.exit_code == 2
    assert "Traceback" not in result.output
    return result.output


def test_without_its_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """In one line."""
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    assert "pip install 'padtempo[page]'" in refused("--folder", str(tmp_path))


def test_a_folder_or_a_plan_that_is_not_there_is_named(tmp_path: Path) -> None:
    """Before anything is served."""
    assert "no such folder" in refused("--folder", str(tmp_path / "nowhere"))
    assert "missing.yaml" in refused(str(tmp_path / "missing.yaml"))
    (tmp_path / "pad.yaml").write_text(PAD, encoding="utf-8")
    (tmp_path / "other").mkdir()
    assert "the page opens plans of one folder" in refused(
        str(tmp_path / "pad.yaml"), "--folder", str(tmp_path / "other")
    )


def test_a_port_that_is_taken_is_named(tmp_path: Path) -> None:
    """Only one that was asked for: the usual one gives way to any that is free."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert f"port {port}" in refused("--folder", str(tmp_path), "--port", str(port))
