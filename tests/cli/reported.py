"""A small pad whose names are what a browser, a spreadsheet or a formula reader would take for something else."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import html5lib
from desk import PAD, PRICES, changed, file_of, flat, forecast

SCRIPT, FORMULA, TEX, IMAGE = "<script>alert(1)</script>", "=1+1", "$$x^2$$", "<img src=x onerror=alert(2)>"
NASTY = changed(
    ("title: Curlew Flat", "title: 'Curlew & <b>Flat</b> (invented demo data)'"),
    ("{name: Curlew 1}", f"{{name: '{SCRIPT}'}}"),
    ("{name: Curlew 2, ", f"{{name: '{FORMULA}', "),
    ("name: Fleet A", f"name: '{IMAGE}'"),
    ("  milling_rigs: {}", f"  milling_rigs: {{name: '{TEX}'}}"),
    ("proppant: 400 klb}\n", "proppant: 400 klb}\n  production: {peak: 900 bbl/day}\n"),
    (
        "  sequential: {strategy.wells_in_rotation: 1}",
        "  '</script><i>one by one': {strategy.wells_in_rotation: 1}\n  no weather: {trouble_factor: 0}",
    ),
    text=PAD,
)
NASTY += "troubles:\n  screen-out: {}\n" + PRICES


PLAIN = PAD


def make_run(folder: Path, text: str, *options: str, replications: int = 8) -> Path:
    """A finished run of a scenario with this text."""
    done = forecast(file_of(folder, text), "--out", str(folder / "run"), *options, replications=replications)
    assert (done.exit_code, done.stderr) == (0, "")
    return folder / "run"


def parsed(text: str) -> ElementTree.Element:
    """The page as a browser reads it; anything that a browser would have to mend is an error."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def words(element: ElementTree.Element) -> str:
    """All that is written in an element, but for scripts and styles."""
    hidden = {"script", "style", "noscript"}

    def inside(each: ElementTree.Element) -> str:
        own = "" if each.tag in hidden else (each.text or "") + "".join(inside(child) for child in each)
        return f"{own} {each.tail or ''}"

    return flat(inside(element))
