"""The picture of what keeping the promise costs."""

from __future__ import annotations

from pathlib import Path

from analysis.figures import theme
from analysis.figures.promise_costs import Dot, promise_costs
from analysis.studies.sizing import Candidate, Sized
from analysis.studies.sizing_answer import promise_text, short
from sim.scenario.written import as_written


def draw(sized: Sized, folder: Path) -> None:
    """Draw it into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    named = sized.keepers[:1] or [max(sized.candidates, key=lambda each: sized.share(each).share)]
    axes = promise_costs(
        [_dot(sized, each, any(each is one for one in named)) for each in sized.candidates],
        sized.choices.promise.chance,
        title=f"{sized.scenario.title}: what keeping the promise costs",
        currency=sized.currency,
        notes=[f"Promise: {promise_text(sized)}.", "Lines: 95 % confidence of each; all candidates share the luck."],
    )
    theme.save(theme.settle(axes), folder / "candidates")


def _dot(sized: Sized, each: Candidate, named: bool) -> Dot:
    share = sized.share(each)
    text = "\n".join(f"{short(path)} {as_written(value)}" for path, value in each.values.items())
    return Dot(each.cost, share.share, share.low, share.high, each.verdict, text, named)
