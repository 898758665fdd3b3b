"""The plan as a planner types, pastes and uploads it in a browser without a screen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from opened import CHROMIUM, Page, until

from analysis.cli import main

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine (Debian: apt-get install chromium)"),
]


def choose(tab: Tab, plan: str) -> None:
    """The plan of that name, on its first step."""
    tab.click("#tab-plan")
    tab.select_option("#plan-choice", plan)
    tab.wait_for_selector("#verdict")
    tab.click("[data-section=wells]")


def test_wells_are_pasted_from_a_spreadsheet(tab: Tab, page: Page) -> None:
    """Cells with tabs between them: those below the last row are new wells."""
    choose(tab, "pad.yaml")
    tab.evaluate(
        """() => {
          const cell = document.querySelector('[data-row="1"][data-column="0"]');
          cell.focus();
          const data = new DataTransfer();
          data.setData("text/plain", "Curlew 2\\t2027-03-04\\t6\\r\\nCurlew 3\\t2027-03-06\\t7\\r\\n");
          cell.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
        }"""
    )
    tab.wait_for_selector('[data-row="2"][data-column="0"]')
    assert tab.input_value('[data-row="2"][data-column="2"]') == "7"
    tab.click("#save")
    tab.wait_for_selector("#save[disabled]")
    assert "{name: Curlew 3, rig_release: 2027-03-06, stages: 7}" in (page.folder / "pad.yaml").read_text(
        encoding="utf-8"
    )


def test_a_mistake_in_a_cell_is_told_in_it(tab: Tab, page: Page) -> None:
    """As it is typed, in the command line's words, and linked to the cell for a screen reader (WCAG 2.2, 3.3.1)."""
    choose(tab, "pad.yaml")
    cell = '[data-row="0"][data-column="2"]'
    tab.fill(cell, "many")
    tab.wait_for_selector("td .wrong")
    result = CliRunner().invoke(main, ["check", str(kept(page))])
    assert tab.inner_text("td .wrong") in " ".join(result.stderr.split())
    assert tab.get_attribute(cell, "aria-errormessage") == tab.get_attribute("td .wrong", "id")
    tab.fill(cell, "")
    tab.press(cell, "Enter")
    tab.wait_for_selector("#verdict.fine")


def kept(page: Page) -> Path:
    """The draft as a file that the command line reads."""
    file = page.folder / "as_typed.txt"
    file.write_bytes((page.folder / ".pad.yaml.draft").read_bytes())
    return file


def test_what_is_being_typed_stays_while_the_sheet_is_drawn_anew(tab: Tab) -> None:
    """A well gets another name, and all that hangs on it is drawn anew, with somebody in the middle of a cell."""
    choose(tab, "pad.yaml")
    tab.fill('[data-row="0"][data-column="0"]', "Curlew 10")
    tab.focus('[data-row="1"][data-column="3"]')
    tab.keyboard.type("160")
    tab.wait_for_selector('[data-where="wells.Curlew 10.stages"]')
    tab.keyboard.type("00 ft")
    assert tab.input_value('[data-row="1"][data-column="3"]') == "16000 ft"
    tab.keyboard.press("Enter")
    tab.locator("#saved", has_text="not saved").wait_for()
    tab.click("#discard")
    tab.wait_for_selector("#save[disabled]")
    assert tab.input_value('[data-row="0"][data-column="0"]') == "Curlew 1"


def test_a_field_and_the_text_of_its_section_do_not_undo_each_other(tab: Tab) -> None:
    """The text is that of the plan as it is by then."""
    choose(tab, "pad.yaml")
    tab.click("[data-section=water]")
    tab.click("text=Water as text")
    tab.fill('[data-where="water.storage.capacity"]', "50 kbbl")
    tab.locator("#saved", has_text="not saved").wait_for()
    tab.focus("textarea.own")
    assert "capacity: 50 kbbl" in tab.input_value("textarea.own")
    tab.keyboard.press("Control+End")
    tab.keyboard.type("\n  transfer: {limit: 70 kbbl/day}")
    tab.wait_for_selector("#verdict.fine")
    tab.click("[data-section=text]")
    tab.wait_for_selector("#whole")
    assert "capacity: 50 kbbl" in tab.input_value("#whole")
    assert "limit: 70 kbbl/day" in tab.input_value("#whole")
    tab.click("#discard")
    tab.wait_for_selector("#save[disabled]")


def test_a_broken_upload_is_opened_with_what_is_wrong(tab: Tab) -> None:
    """As text, with the line named."""
    tab.set_input_files(
        "#upload", {"name": "broken.yaml", "mimeType": "text/yaml", "buffer": b"start: 2027-03-01\nwells: [\n"}
    )
    tab.wait_for_selector(".problems")
    assert "expected a value, such as" in tab.inner_text(".problems")
    assert tab.input_value("#whole").startswith("start:")
    tab.set_input_files("#upload", {"name": "picture.yaml", "mimeType": "text/yaml", "buffer": b"\x89PNG\xff\xfe\x00"})
    tab.locator("#notice", has_text="not UTF-8 text").wait_for()
    tab.set_input_files("#upload", {"name": "huge.yaml", "mimeType": "text/yaml", "buffer": b"x" * 2_000_001})
    tab.locator("#notice", has_text="larger than 2 MB").wait_for()
    choose(tab, "pad.yaml")


def test_what_is_typed_goes_to_its_own_plan(tab: Tab, page: Page) -> None:
    """Though another is opened before it is sent."""
    tab.click("[data-section=water]")
    tab.fill('[data-where="water.storage.capacity"]', "44 kbbl")
    tab.select_option("#plan-choice", "broken.yaml")
    tab.wait_for_selector("#whole")
    until(lambda: "capacity: 44 kbbl" in page.get("plans/pad.yaml")["text"])
    assert tab.input_value("#whole").startswith("start:")
    choose(tab, "pad.yaml")
    tab.locator("#saved", has_text="not saved").wait_for()
    tab.click("#discard")
    tab.wait_for_selector("#save[disabled]")
