"""The workbook opened by an office program, where one is installed: what it shows is what the file holds."""

from __future__ import annotations

import csv
import shutil
import subprocess
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"
ERRORS = ("#NAME?", "#VALUE!", "#REF!", "#DIV/0!", "#N/A", "Err:", "###")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(OFFICE is None, reason="no office program is installed to open the workbook with"),
]


def converted(workbook: Path, kind: str, folder: Path) -> list[Path]:
    """Files that the office program makes of the workbook, without a complaint."""
    home = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    order = [str(OFFICE), home, "--headless", "--convert-to", kind, "--outdir", str(folder), str(workbook)]
    done = subprocess.run(order, capture_output=True, text=True, timeout=240, check=False)
    assert done.returncode == 0, done.stderr
    return sorted(path for path in folder.iterdir() if path.is_file())


def test_workbook_opens(desk: Path, tmp_path: Path) -> None:
    """Every sheet has as many lines and headings as in the file, dates are shown as dates, and nothing is an error."""
    workbook = desk / "first" / "plan.xlsx"
    made = converted(workbook, EVERY_SHEET, tmp_path)
    book = CalamineWorkbook.from_path(workbook)
    shown = {path.stem.removeprefix("plan-"): path.read_text(encoding="utf-8") for path in made}
    assert set(shown) == set(book.sheet_names)
    for name, text in shown.items():
        rows = list(csv.reader(text.splitlines()))
        held = book.get_sheet_by_name(name).to_python()
        assert rows[0] == [str(heading) for heading in held[0]]
        assert name == "About" or len(rows) == len(held)
        assert not any(error in text for error in ERRORS)
    assert "the pad,Every well on production,2027-" in shown["Milestones"]
    assert "Curlew 2,On production,2027-" in shown["Milestones"]


def test_workbook_prints(desk: Path, tmp_path: Path) -> None:
    """As a document it has pages."""
    (document,) = converted(desk / "first" / "plan.xlsx", "pdf", tmp_path)
    assert document.read_bytes().startswith(b"%PDF")
