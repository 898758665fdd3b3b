"""The page as a planner uses it, in a browser without a screen: what is typed, played, stopped and downloaded.

No error may reach the browser's console, and no request may leave this machine.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from opened import CHROMIUM, Page

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine (Debian: apt-get install chromium)"),
]
SET_TIME = (
    "() => { const s = document.getElementById('replay-time'); s.value = 200; s.dispatchEvent(new Event('input')); }"
)
COLOURS = (
    "(names) => Object.fromEntries(names.map((n) =>"
    " [n, getComputedStyle(document.documentElement).getPropertyValue('--' + n).trim()]))"
)
NAMELESS = """() => [...document.querySelectorAll('button, input, select, textarea, canvas, svg[role=img]')]
  .filter((e) => !(e.getAttribute('aria-label') || e.textContent.trim() || e.labels?.length
    || e.querySelector?.('title')))
  .map((e) => e.outerHTML.slice(0, 200))"""
RATE = '[data-where="water.sources.River.rate"]'


def play(tab: Tab, replications: int) -> str:
    """The last well's P90 of a run of the plan, at its end."""
    tab.click("#tab-run")
    tab.wait_for_selector("#runs > *")
    before = tab.locator("article[data-run]").count()
    tab.fill("#replications", str(replications))
    tab.click("#start")
    tab.locator("article[data-run]").nth(before).wait_for()
    newest = tab.locator("article[data-run]").first
    newest.locator("text=See it").wait_for()
    return newest.locator('[data-date="Every well on production"] b').inner_text()


def test_less_water_is_typed_and_the_date_moves(tab: Tab, page: Page) -> None:
    """Open, change, see the mistake beside the field, put it right, play: a later date; and the file is unchanged."""
    before = (page.folder / "pad.yaml").read_text(encoding="utf-8")
    first = play(tab, 20)
    tab.click("#tab-plan")
    tab.click("[data-section=water]")
    tab.fill(RATE, "9 kbl/day")
    tab.wait_for_selector(".field .wrong")
    assert "unit 'kbl/day' is not known" in tab.inner_text(".field .wrong")
    assert tab.get_attribute(RATE, "aria-invalid") == "true"
    tab.fill(RATE, "9 kbbl/day")
    tab.wait_for_selector("#verdict.fine")
    assert play(tab, 20) != first
    assert (page.folder / "pad.yaml").read_text(encoding="utf-8") == before


def test_unsaved_work_survives_a_reload_and_is_saved(tab: Tab, page: Page) -> None:
    """With its remarks."""
    tab.reload()
    tab.click("#tab-plan")
    tab.click("[data-section=water]")
    assert tab.input_value(RATE) == "9 kbbl/day"
    tab.click("#save")
    tab.wait_for_selector("#save[disabled]")
    text = (page.folder / "pad.yaml").read_text(encoding="utf-8")
    assert "rate: 9 kbbl/day" in text
    assert "# hour zero" in text


def test_a_run_goes_on_through_a_reload_and_is_stopped(tab: Tab) -> None:
    """It lives in the server; what was played is kept."""
    tab.click("#tab-run")
    tab.fill("#replications", "20000")
    tab.click("#start")
    tab.wait_for_selector("article[data-state=playing] .date")
    tab.reload()
    tab.wait_for_selector("article[data-state=playing] .stop")
    tab.click("article[data-state=playing] .stop")
    tab.locator(".stop", has_text="Stopping").wait_for()
    tab.wait_for_selector("article[data-state=stopped]")
    assert "of 20,000 replications" in tab.inner_text("article[data-state=stopped]")


def test_what_a_run_says_is_seen_and_downloaded(tab: Tab) -> None:
    """The answer, the replay at a moment, and the workbook."""
    tab.click("#tab-see")
    tab.wait_for_selector("#replay-time")
    assert "P90" in tab.inner_text("#panel-see .answer")
    tab.evaluate(SET_TIME)
    assert "Fleet A" in tab.inner_text("#replay-said")
    with tab.expect_download() as download:
        tab.click("a[href$='plan.xlsx']")
    assert download.value.path().read_bytes()[:2] == b"PK"


def test_bars_are_read_by_keys_and_say_the_arithmetic(tab: Tab) -> None:
    """Up and down choose a unit, right goes on to its pieces, Enter shows how long a stage takes and why."""
    tab.focus("canvas >> nth=0")
    said = tab.locator(".read").first
    while "Fleet A" not in said.inner_text():
        tab.keyboard.press("ArrowDown")
    while "pump stage" not in said.inner_text():
        tab.keyboard.press("ArrowRight")
    tab.keyboard.press("Enter")
    tab.wait_for_selector(".sum table")
    assert "stated, pad and flush included" in tab.inner_text(".sum")
    assert "9,000 bbl" in tab.inner_text(".sum")


def test_the_report_is_made_and_downloaded(tab: Tab) -> None:
    """One file that needs no network."""
    tab.click("#make-report")
    with tab.expect_download(timeout=90_000) as download:
        tab.click("a[href$='report.html']", timeout=90_000)
    assert b"<!doctype html>" in download.value.path().read_bytes()[:200].lower()


def test_a_lever_answers(tab: Tab) -> None:
    """By the mean difference under the same luck."""
    tab.click("#tab-decide")
    tab.wait_for_selector("#lever-water")
    tab.focus("#lever-water")
    for _ in range(8):
        tab.keyboard.press("ArrowRight")
    tab.wait_for_selector("#what-if-said")
    assert "days" in tab.inner_text("#what-if-said")
    tab.click("#levers-back")
    tab.locator("#what-if", has_text="Nothing is moved yet").wait_for()
    assert tab.input_value("#lever-water") == "100"


def test_the_steps_are_reached_by_keys_and_everything_has_a_name(tab: Tab) -> None:
    """Arrows move between the tabs; no control is without a label for a screen reader (WCAG 2.2, 4.1.2)."""
    tab.focus("#tab-decide")
    tab.keyboard.press("ArrowRight")
    assert tab.evaluate("document.activeElement.id") == "tab-plan"
    tab.focus("[data-section=water]")
    tab.keyboard.press("Enter")
    tab.wait_for_selector("[data-section=water][aria-current=true]")
    assert tab.evaluate("document.activeElement.dataset.section") == "water"
    for step in ("plan", "run", "see", "decide"):
        tab.click(f"#tab-{step}")
        tab.wait_for_selector(f"#panel-{step} h2")
        nameless = tab.evaluate(NAMELESS)
        assert nameless == []


@pytest.mark.parametrize("look", ["light", "dark"])
def test_text_stands_out_from_what_is_behind_it(tab: Tab, look: str) -> None:
    """Contrast of at least 4.5 to 1, by the formula of WCAG 2.2, 1.4.3, for every colour that text has."""
    tab.evaluate(f"document.documentElement.dataset.look = '{look}'")
    pairs = (
        ("ink", "paper"),
        ("ink", "card"),
        ("ink", "soft"),
        ("quiet", "paper"),
        ("quiet", "card"),
        ("quiet", "soft"),
        ("accent", "card"),
        ("accent", "paper"),
        ("ink", "accent-soft"),
        ("quiet", "accent-soft"),
        ("quiet", "warn-soft"),
        ("accent-ink", "accent"),
        ("bad", "card"),
        ("bad", "bad-soft"),
        ("ink", "bad-soft"),
        ("ink", "warn-soft"),
        ("card", "bad"),
    )
    colours = tab.evaluate(
        COLOURS,
        sorted({name for pair in pairs for name in pair}),
    )
    assert {
        pair: ratio(*(colours[name] for name in pair))
        for pair in pairs
        if ratio(*(colours[name] for name in pair)) < 4.5
    } == {}


def ratio(one: str, other: str) -> float:
    """Contrast of two colours as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`."""
    shares = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("width", [1280, 820, 390])
def test_nothing_runs_off_the_side(tab: Tab, width: int) -> None:
    """On a desk, a tablet and a phone."""
    tab.set_viewport_size({"width": width, "height": 900})
    for step in ("plan", "run", "see", "decide"):
        tab.click(f"#tab-{step}")
        tab.wait_for_selector(f"#panel-{step} h2")
        assert tab.evaluate("document.documentElement.scrollWidth") <= width
