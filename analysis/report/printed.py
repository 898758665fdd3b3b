"""Pictures in the form that prints: drawn as for the run directory, and held in the page itself."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from typing import TYPE_CHECKING

from analysis.report.content import Content

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def as_address(axes: Axes) -> str:
    """The picture as a data address, which an image can have for its source."""
    from analysis.figures import theme

    content = theme.svg_bytes(theme.settle(axes))
    return f"data:image/svg+xml;base64,{base64.b64encode(content).decode('ascii')}"


def pictures_of(content: Content) -> dict[str, str]:
    """All that the content has something for, by name."""
    return {name: as_address(axes) for name, axes in _drawn(content)}


def _drawn(content: Content) -> Iterator[tuple[str, Axes]]:
    from analysis.chains.chain_pictures import where_axes
    from analysis.comparing.comparison_pictures import comparison_axes
    from analysis.forecasting.pictures import chances, gantts, supply_pictures
    from analysis.pricing.money_pictures import money_pictures
    from analysis.report.curves import bands

    summary, played = content.summary, content.played
    yield from gantts(summary, content.log)
    yield "chance_done_by", chances(summary, bands(summary))
    if played.choices is not None:
        yield "comparison", comparison_axes(played.choices)
    if played.where is not None and played.where.days is not None:
        yield "where_the_days_go", where_axes(played.where, played.where.days)
    yield from supply_pictures(summary, content.log)
    yield from money_pictures(content.ledger)
