"""Which fits of a calibration are drawn, and how they are named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from analysis.field.calibration import Calibrated, Calibration, drawable
from analysis.field.log_moments import frozen
from analysis.field.quantities import FACTOR
from sim.scenario.shapes import Empirical

if TYPE_CHECKING:
    from analysis.figures.fits import Fitted

MOST_DRAWN = 6


def draw_fits(calibration: Calibration, title: str, path: Path) -> Path | None:
    """Write a picture of the fits with most observations to `path`; None where there are too few for any."""
    from analysis.figures import theme
    from analysis.figures.fits import fits

    chosen = drawable(calibration.figures)[:MOST_DRAWN]
    if not chosen:
        return None
    figure = fits([_fitted(each) for each in chosen], title)
    return theme.save(figure, path.with_suffix(""))[0]


def _fitted(figure: Calibrated) -> Fitted:
    from analysis.figures.fits import Fitted

    quantity, chosen = figure.quantity, figure.chosen
    assert chosen is not None  # only such are drawn
    known = frozen(chosen.shape)
    stated = quantity.prior
    plan = None if isinstance(stated, (int, float, Empirical)) else frozen(stated).pdf
    unit = "times the design" if quantity.kind == FACTOR else "hours"
    p = "" if figure.p_value is None else f", p {figure.p_value:.2f}"
    note = f"{len(quantity.done)} jobs, {chosen.family}{p}"
    return Fitted(quantity.name, unit, quantity.done, known.pdf, known.cdf, plan, note)
