"""The report in Chromium: it asks for nothing, runs nothing of the plan, can be read and printed at every width.

Skipped where no Chromium is installed. Contrast is that of the Web Content Accessibility Guidelines 2.2, criterion
1.4.3, level AA: 4.5 to 1, or 3 to 1 for large text.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from reported import IMAGE, SCRIPT, TEX

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium is installed to open the report with"),
]

TEXTS = """
() => {
  const found = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode.textContent.trim(), element = walker.currentNode.parentElement;
    if (!text || !element.checkVisibility() || element.closest("script, style, noscript, .figure")) continue;
    let ground = element;
    while (ground && getComputedStyle(ground).backgroundColor === "rgba(0, 0, 0, 0)") ground = ground.parentElement;
    const look = getComputedStyle(element);
    found.push({ text, ink: look.color, ground: getComputedStyle(ground || document.body).backgroundColor,
                 size: parseFloat(look.fontSize), bold: parseInt(look.fontWeight) >= 700 });
  }
  return found;
}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Chromium, kept open for all tests."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


class Opened:
    """The report in a window, with all that it asked for and complained of."""

    def __init__(self, browser: Any, run: Path, width: int = 1280, **options: Any) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 844}, **options)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", lambda dialog: self.complaints.append(dialog.message))
        self.page.on("console", self._hear)
        self.page.goto((run / "report.html").resolve().as_uri())
        self.page.wait_for_function("document.querySelectorAll('.figure > *').length >= 3")
        self.page.wait_for_function("Bokeh.documents[0].is_idle")

    def _hear(self, message: Any) -> None:
        if message.type in {"error", "warning"}:
            self.complaints.append(message.text)


@pytest.fixture
def opened(browser: Any, reported: Path, request: pytest.FixtureRequest) -> Iterator[Opened]:
    """The report, at the width and in the scheme that a test asks for."""
    report = Opened(browser, reported, **getattr(request, "param", {}))
    yield report
    report.context.close()


def test_asks_for_nothing_and_runs_nothing_of_the_plan(opened: Opened) -> None:
    """One file is opened; no alert of a name comes up; no formula makes it load a library."""
    opened.page.wait_for_timeout(500)
    assert [url for url in opened.asked if not url.startswith("data:")] == [opened.page.url]
    assert opened.complaints == []


@pytest.mark.parametrize("opened", [{"width": 390}, {"width": 768}, {"width": 1280}], indirect=True)
def test_never_wider_than_the_window(opened: Opened) -> None:
    """Wide tables and pictures scroll in themselves."""
    wide, window = opened.page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide <= window
    for figure in opened.page.query_selector_all(".figure"):
        assert figure.bounding_box()["width"] > 0.75 * window - 40


@pytest.mark.parametrize("opened", [{"color_scheme": scheme} for scheme in ("light", "dark")], indirect=True)
def test_every_word_can_be_read(opened: Opened) -> None:
    """As the browser has it in the end: the ink of every text on the ground behind it."""
    texts = opened.page.evaluate(TEXTS)
    assert len(texts) > 300
    for each in texts:
        large = each["size"] >= 24 or (each["size"] >= 18.66 and each["bold"])
        assert contrast(each["ink"], each["ground"]) >= (3.0 if large else 4.5), each


def contrast(ink: str, ground: str) -> float:
    """Contrast ratio of two colours as a browser writes them."""
    light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance, from sRGB (WCAG 2.2, glossary)."""
    parts = [int(part) / 255 for part in re.findall(r"\d+", colour)[:3]]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_pointing_at_a_bar_tells_what_it_is(opened: Opened) -> None:
    """A unit whose name looks like a picture is told as text, and none is made of it."""
    figure = opened.page.query_selector("#figure-units")
    figure.scroll_into_view_if_needed()
    told = ""
    box = figure.bounding_box()
    for down in range(20, int(box["height"]) - 30, 6):
        for right in (0.30, 0.36, 0.42, 0.48):
            opened.page.mouse.move(box["x"] + right * box["width"], box["y"] + down)
            told = opened.page.evaluate("""() => {
              const words = (node) => [...node.childNodes].map((each) => words(each)).join(" ")
                + (node.nodeType === 3 ? node.textContent : "") + (node.shadowRoot ? words(node.shadowRoot) : "");
              return [...document.querySelectorAll("*")].map((each) => each.shadowRoot ? words(each) : "").join(" ");
            }""")
            if IMAGE in told:
                break
        if IMAGE in told:
            break
    assert IMAGE in told
    assert opened.complaints == []
    assert [url for url in opened.asked if not url.startswith("data:")] == [opened.page.url]


def test_both_pictures_zoom_together(opened: Opened) -> None:
    """Units and wells share their dates; dragging a box narrows both."""
    ranges = "Bokeh.documents[0].roots().slice(0, 2).map((root) => [root.x_range.start, root.x_range.end])"
    before = opened.page.evaluate(ranges)
    assert before[0] == before[1]
    figure = opened.page.query_selector("#figure-units")
    figure.scroll_into_view_if_needed()
    box = figure.bounding_box()
    middle = box["y"] + box["height"] / 2
    opened.page.mouse.move(box["x"] + 0.4 * box["width"], middle)
    opened.page.mouse.down()
    opened.page.mouse.move(box["x"] + 0.5 * box["width"], middle, steps=5)
    opened.page.mouse.up()
    opened.page.wait_for_timeout(300)
    after = opened.page.evaluate(ranges)
    assert after[0] == after[1]
    assert after[0][1] - after[0][0] < 0.5 * (before[0][1] - before[0][0])


@pytest.mark.parametrize("opened", [{"width": 390, "has_touch": True, "is_mobile": True}], indirect=True)
def test_a_finger_scrolls_the_page(opened: Opened) -> None:
    """On a phone no tool of a figure takes the drag."""
    assert opened.page.evaluate("matchMedia('(pointer: coarse)').matches")
    assert opened.page.evaluate("Bokeh.documents[0].roots().every((root) => root.toolbar.active_drag === null)")


def test_prints_on_paper(opened: Opened) -> None:
    """A4, pictures as drawings in the place of those that zoom, nothing cut off at the right."""
    opened.page.emulate_media(media="print")
    opened.page.set_viewport_size({"width": 718, "height": 1000})  # A4 less its margins, at 96 dots an inch
    assert not opened.page.query_selector("#figure-units").is_visible()
    assert all(picture.is_visible() for picture in opened.page.query_selector_all("img"))
    assert opened.page.evaluate("document.documentElement.scrollWidth") <= 718
    written = opened.page.pdf(prefer_css_page_size=True)
    assert written.startswith(b"%PDF")
    pages = len(re.findall(rb"/Type\s*/Page\b", written))
    assert 5 <= pages <= 40


def test_without_scripts(browser: Any, reported: Path) -> None:
    """The drawings stand in for the figures."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((reported / "report.html").resolve().as_uri())
    assert page.query_selector(".on-paper img").is_visible()
    assert SCRIPT in page.inner_text("body")
    assert TEX in page.inner_text("body")
    context.close()
