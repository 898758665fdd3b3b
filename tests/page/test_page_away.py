"""What is typed while the server is away is sent once it is back on the same address, whatever became of the tab."""

from __future__ import annotations

import os
import signal
import socket
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from opened import CHROMIUM, PAD, Page, opened

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine (Debian: apt-get install chromium)"),
]
CAPACITY = '[data-where="water.storage.capacity"]'


def free_port() -> str:
    """A port that is free by now."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return str(taken.getsockname()[1])


def kill(page: Page) -> None:
    """As a crash would."""
    os.kill(page.process.pid, signal.SIGKILL)
    page.process.wait(10)


def type_while_away(tab: Tab, capacity: str) -> None:
    """A number that cannot be sent."""
    tab.click("[data-section=water]")
    tab.fill(CAPACITY, capacity)
    tab.locator("#notice", has_text="What you type is kept here").wait_for()


def test_work_survives_a_server_that_is_killed(tmp_path: Path) -> None:
    """In a tab that stays open, and in one that is closed before there is a server again."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    (tmp_path / "pad.yaml").write_text(PAD, encoding="utf-8")
    port = free_port()
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        context = browser.new_context()
        context.set_default_timeout(60_000)
        tab = context.new_page()
        with opened(tmp_path, "--port", port) as page:
            tab.goto(page.address)
            tab.wait_for_selector("table.sheet")
            kill(page)
        type_while_away(tab, "41 kbbl")
        with opened(tmp_path, "--port", port) as page:
            context.new_page().goto(page.address)
            tab.locator("#saved", has_text="not saved; kept as a draft").wait_for()
            assert "capacity: 41 kbbl" in (tmp_path / ".pad.yaml.draft").read_text(encoding="utf-8")
            kill(page)
        type_while_away(tab, "42 kbbl")
        tab.close()
        with opened(tmp_path, "--port", port) as page:
            tab = context.new_page()
            tab.goto(page.address)
            tab.locator("#saved", has_text="not saved; kept as a draft").wait_for()
            tab.click("[data-section=water]")
            assert tab.input_value(CAPACITY) == "42 kbbl"
        browser.close()
    assert (tmp_path / "pad.yaml").read_text(encoding="utf-8") == PAD
