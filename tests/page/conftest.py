"""One page that tests look at, and a tab in a browser that has it open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from opened import CHROMIUM, PAD, Page, opened

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytest.importorskip("uvicorn", reason="the extra 'page' is not installed")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A page over a folder with one plan, `pad.yaml`."""
    folder = tmp_path_factory.mktemp("plans")
    (folder / "pad.yaml").write_text(PAD, encoding="utf-8")
    with opened(folder) as found:
        yield found


@pytest.fixture(scope="module")
def tab(page: Page) -> Iterator[Tab]:
    """A tab with the page open; what its console complains of fails the module."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    complaints: list[str] = []
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        found = browser.new_page(viewport={"width": 1280, "height": 900})
        found.set_default_timeout(60_000)
        found.on("console", lambda said: complaints.append(said.text) if said.type in {"error", "warning"} else None)
        found.on("pageerror", lambda error: complaints.append(str(error)))
        home = f"http://127.0.0.1:{page.port}/"
        found.on("request", lambda sent: None if sent.url.startswith(home) else complaints.append(sent.url))
        found.on("dialog", lambda dialog: dialog.accept())
        found.goto(page.address)
        found.wait_for_selector("table.sheet")
        yield found
        browser.close()
    assert complaints == []
