"""What the units do with their time on location, in bars and in numbers."""

from __future__ import annotations

from math import inf

from analysis.figures import theme
from analysis.figures.bars import trade_of
from analysis.forecasting.summary import Share
from analysis.forecasting.terminal import SHARES, unit_table
from analysis.report.content import Content
from analysis.report.parts import Bars, Cell, Piece, Row, Said, Section, Swatch, Table, from_terminal
from analysis.wording import CONVENTION, percent

SHOWS = (
    "Each bar is the mean of a unit's time on location: what it does as the key says, waiting hatched. Pointing at a "
    "piece tells what it is; the last section has all of them in numbers."
)
KEYS = (
    Swatch(theme.TRADE_COLOURS["fracturing"], "at work, in the colour of the trade"),
    Swatch(theme.MOVING, "moving, rigging"),
    Swatch(theme.WAIT_FILL, "waiting", hatched=True),
    Swatch(theme.TROUBLE, "trouble"),
)
LAST = "The intervals of these dates and all shares stand in the last section."
LEAST = 0.0005  # of the time on location, to be drawn at all


def units(content: Content) -> Section:
    """Bars, and who is there when, kept from working by what."""
    note = f"On location: P50 of arriving and of leaving. {CONVENTION} {SHARES} {LAST}"
    parts = (Bars(SHOWS, _rows(content), KEYS), from_terminal(unit_table(content.summary), note, flowing=True))
    return Section("units", "What the units do", parts if content.summary.units else (Said(("No unit came.",)),))


def _rows(content: Content) -> tuple[tuple[str, str, tuple[Piece, ...]], ...]:
    works = content.summary.works
    found = []
    for unit, shares in content.summary.units.items():
        pieces = tuple(_piece(each) for each in sorted(shares, key=_order) if each.share.mean >= LEAST)
        found.append((unit, f"works {percent(works[unit].mean)}", pieces))
    return tuple(found)


def _order(each: Share) -> tuple[int, float]:
    """Work first, then waits, then trouble, each the largest first."""
    moving = each.kind == "work" and trade_of(each.reason) == "moving"
    return {"work": 0, "wait": 2, "trouble": 3}[each.kind] + moving, -each.share.mean


def _piece(each: Share) -> Piece:
    text = f"{_named(each)}: {percent(each.share.mean)}"
    width = round(100 * each.share.mean, 3)
    if each.kind == "wait":
        return Piece(theme.WAIT_FILL, width, text, hatched=True)
    trade = trade_of(each.reason)
    work = theme.MOVING if trade == "moving" else theme.TRADE_COLOURS.get(trade, theme.OTHER)
    return Piece(theme.TROUBLE if each.kind == "trouble" else work, width, text)


def _named(each: Share) -> str:
    return {"work": "", "wait": "waiting for ", "trouble": "trouble: "}[each.kind] + each.reason


def by_cause(content: Content) -> Table:
    """Every share of every unit with its interval."""
    rows = tuple(
        Row((Cell(unit), Cell(_named(each)), Cell(f"{100 * each.share.mean:.1f} %"), Cell(_interval(each))))
        for unit, shares in content.summary.units.items()
        for each in sorted(shares, key=_order)
        if each.share.mean >= LEAST
    )
    headings = ("unit", "spent on", "share", "95 % confidence")
    return Table(
        "Time on location by cause, share of all of it",
        headings,
        rows,
        "What takes less than 0.05 % is not listed.",
        texts=2,
    )


def _interval(each: Share) -> str:
    if each.share.high == inf:
        return "[?, ?]"
    return f"[{100 * max(each.share.low, 0.0):.1f}, {100 * min(each.share.high, 1.0):.1f}] %"
