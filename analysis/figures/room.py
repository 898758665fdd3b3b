"""Where a word fits on a picture: over no other word, over no line, inside the frame."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path
from matplotlib.text import Annotation, Text
from matplotlib.transforms import Bbox

from analysis.figures.theme import INK, QUIET, TEXT, settle

FAR_PT = 20.0
CLEARANCE_PX = 3.0
TIE: dict[str, Any] = {"arrowstyle": "-", "color": QUIET, "linewidth": 0.6, "shrinkA": 1.0, "shrinkB": 4.0}


class Spot(NamedTuple):
    """Where a text could stand: a point in data units, the text's side of it, a shift in points."""

    x: float
    y: float
    ha: str = "left"
    va: str = "center"
    right_pt: float = 0.0
    up_pt: float = 0.0


@dataclass
class Room:
    """The places already taken on an axes, so that no word is written over another or over a line."""

    ax: Axes
    taken: list[Bbox] = field(default_factory=list)
    lines: list[Path] = field(default_factory=list)

    def __post_init__(self) -> None:
        # One renderer measures all words: a figure without a screen makes a new one, as large as itself, for each.
        self._measuring = RendererAgg(1, 1, settle(self.ax).dpi)  # type: ignore[no-untyped-call]

    def keep_clear(self, x: Any, y: Any) -> None:
        """Reserve a line, given in data units."""
        self.lines.append(Path(self.ax.transData.transform(np.column_stack((x, y)))))

    def write(self, text: str, spots: Sequence[Spot], **style: Any) -> Annotation | None:
        """Write at the first spot where the text is inside the axes and touches nothing, else not at all.

        A text that has to stand far off is tied to its point by a thin line.
        """
        look: dict[str, Any] = {"fontsize": TEXT, "color": INK, "parse_math": False} | style
        for spot in spots:
            far = math.hypot(spot.right_pt, spot.up_pt) > FAR_PT
            label = self.ax.annotate(
                text, (spot.x, spot.y), xytext=(spot.right_pt, spot.up_pt), textcoords="offset points",
                ha=spot.ha, va=spot.va, arrowprops=TIE if far else None, **look,
            )  # fmt: skip
            label.get_window_extent(self._measuring)  # brings the words to their place
            box = Text.get_window_extent(label, self._measuring)  # the words alone, without the line
            if self._is_free(box):
                self.taken.append(box)
                label.set_in_layout(False)  # inside the axes it claims no room beside them
                return label
            label.remove()
        return None

    def _is_free(self, box: Bbox) -> bool:
        frame, wide = self.ax.get_window_extent(), box.padded(CLEARANCE_PX)
        inside = frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1
        return (
            inside
            and not any(wide.overlaps(other) for other in self.taken)
            and not any(line.intersects_bbox(wide, filled=False) for line in self.lines)
        )
