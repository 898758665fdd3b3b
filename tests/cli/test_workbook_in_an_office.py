"""The workbook opened by an office program, where one is installed: what it shows is what the file holds."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(OFFICE is None, reason="no office program is installed to open the workbook with"),
]


def test_workbook_opens(desk: Path, tmp_path: Path) -> None:
    """Its first sheet is turned into text without a complaint, and has the dates of pad and wells."""
    home = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    order = [str(OFFICE), home, "--headless", "--convert-to", "csv", "--outdir", str(tmp_path)]
    done = subprocess.run(
        [*order, str(desk / "first" / "plan.xlsx")], capture_output=True, text=True, timeout=240, check=False
    )
    assert done.returncode == 0, done.stderr
    shown = (tmp_path / "plan.csv").read_text(encoding="utf-8", errors="replace")
    assert "the pad,Every well on production" in shown
    assert "Curlew 2,On production" in shown
    assert "#NAME?" not in shown
    assert "#VALUE!" not in shown
