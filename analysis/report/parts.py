"""What a page is built of: sections of paragraphs, tables, bars and pictures. The template escapes all text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf, isfinite
from typing import TYPE_CHECKING, NamedTuple

from analysis.checking.estimates import UNKNOWN, Estimate, figure
from analysis.statistics import QuantileEstimate

if TYPE_CHECKING:
    from rich.table import Table as TerminalTable


class Cell(NamedTuple):
    """What stands in a cell, and below it smaller what is said of that."""

    text: str
    small: tuple[str, ...] = ()


class Row(NamedTuple):
    """Cells, the first of which names the row; `strong` for sums."""

    cells: tuple[Cell, ...]
    strong: bool = False


class Table(NamedTuple):
    """A table with what must be known to read it; columns from number `texts` on hold numbers."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    note: str = ""
    texts: int = 99
    kind: str = "table"


class Swatch(NamedTuple):
    """What a colour means; hatched is waiting."""

    colour: str
    text: str
    hatched: bool = False


class Picture(NamedTuple):
    """A picture: what it shows in a sentence, its key, and two forms.

    `image` is the printed form as a data address. `element` is where the form that can be zoomed goes; where it is
    empty the printed one is on the screen too. `more` are the further sheets of a picture that has several.
    """

    says: str
    image: str
    alt: str
    element: str = ""
    keys: tuple[Swatch, ...] = ()
    more: tuple[str, ...] = ()
    kind: str = "picture"


class Piece(NamedTuple):
    """A piece of a bar, its width in percent of the whole."""

    colour: str
    width: float
    text: str
    hatched: bool = False


class Bars(NamedTuple):
    """Rows of bars that each add up to 100 %: its name, a word on it, its pieces."""

    says: str
    rows: tuple[tuple[str, str, tuple[Piece, ...]], ...]
    keys: tuple[Swatch, ...]
    kind: str = "bars"


class Said(NamedTuple):
    """Paragraphs, or with `listed` points."""

    sentences: tuple[str, ...]
    listed: bool = False
    kind: str = "said"


Part = Table | Picture | Bars | Said


class Section(NamedTuple):
    """A heading with the word it is found by, and what stands below."""

    anchor: str
    title: str
    parts: tuple[Part, ...]


def from_terminal(shown: TerminalTable, note: str = "", *, flowing: bool = False) -> Table:
    """The same table as on the terminal: one wording for both. Where text is `flowing`, its lines are one."""
    texts = zip(*([str(cell) for cell in column.cells] for column in shown.columns), strict=True)
    rows = tuple(
        Row(
            tuple(_cell(text.replace("\n", " ") if flowing else text) for text in cells), "bold" in str(row.style or "")
        )
        for cells, row in zip(texts, shown.rows, strict=True)
    )
    headings = tuple(" ".join(str(column.header).split()) for column in shown.columns)
    right = [place for place, column in enumerate(shown.columns) if column.justify == "right"]
    return Table(str(shown.title or ""), headings, rows, note, right[0] if right else len(headings))


def from_rows(caption: str, rows: Iterable[Mapping[str, str]], note: str = "") -> Table:
    """A table from rows by heading."""
    listed = list(rows)
    cells = tuple(Row(tuple(_cell(text) for text in row.values())) for row in listed)
    return Table(caption, tuple(listed[0]), cells, note)


def _cell(text: str) -> Cell:
    first, *rest = text.split("\n")
    return Cell(first, tuple(line for line in rest if line))


ESTIMATES = ("P10", "P50", "P90", "mean")
BRACKETS = "Brackets: 95 % confidence interval; ?: too few replications for that bound."


def estimate_table(
    caption: str, heading: str, found: Mapping[str, Estimate], scale: float = 1.0, *, digits: int = 1, note: str = ""
) -> Table:
    """A row for each estimate: P10, P50, P90 and the mean, each with its interval, divided by `scale`."""
    rows = tuple(Row((Cell(name), *estimate_cells(each, scale, digits))) for name, each in found.items())
    return Table(caption, (heading, *ESTIMATES), rows, note, texts=1)


def estimate_cells(found: Estimate, scale: float, digits: int) -> list[Cell]:
    """Its quantiles and its mean."""
    return [*(_number(each, scale, digits) for each in found.quantiles), _mean(found, scale, digits)]


def _number(found: QuantileEstimate, scale: float, digits: int) -> Cell:
    low, high = (
        "?" if rank is None else figure(bound, scale, digits)
        for rank, bound in ((found.low_rank, found.low), (found.high_rank, found.high))
    )
    said = not {low, high} <= {"?", UNKNOWN} or isfinite(found.value)
    return Cell(figure(found.value, scale, digits), (f"[{low}, {high}]",) if said else ())


def _mean(found: Estimate, scale: float, digits: int) -> Cell:
    low, mean, high = (each / scale for each in (found.mean.low, found.mean.mean, found.mean.high))
    if mean == inf:
        return Cell(UNKNOWN)
    return Cell(f"{mean:,.{digits}f}", (f"[{low:,.{digits}f}, {high:,.{digits}f}]" if high < inf else "[?, ?]",))


def spread_of(found: Estimate, scale: float = 1.0, digits: int = 1) -> Cell:
    """The P50, below it its interval, P10, P90 and the mean with theirs, divided by `scale`."""
    low, middle, high, mean = estimate_cells(found, scale, digits)
    named = (("P10", low), ("P90", high), ("mean", mean))
    return Cell(middle.text, (*middle.small, *(" ".join((name, cell.text, *cell.small)) for name, cell in named)))
