"""Which choice is the cheapest that keeps the promise, in sentences and as a table."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.table import Table

from analysis.studies.sizing import BREAKS, DOUBT, KEEPS, OPEN, Candidate, Sized
from analysis.wording import BEYOND, CONVENTION, date_text, days_text, full_date, percent, tell
from sim.scenario.written import as_written


def sentences(sized: Sized) -> list[str]:
    """The answer, most important first."""
    keepers = sized.keepers
    if not keepers:
        return [_none(sized)]
    best = keepers[0]
    return [_best(sized, best), _sureness(sized, best), *_runner_up(sized, best), *_cheaper(sized, best)]


def promise_text(sized: Sized) -> str:
    """The promise in words."""
    promise = sized.choices.promise
    return f"{promise.milestone} by {full_date(sized.scenario, sized.by_h)} with {percent(promise.chance)} chance"


def _best(sized: Sized, best: Candidate) -> str:
    return (
        f"The cheapest choice shown to keep the promise, {promise_text(sized)}, costs {money(sized, best.cost)}: "
        f"{values_text(best)}."
    )


def _sureness(sized: Sized, best: Candidate) -> str:
    kept, n = best.kept(sized.by_h), len(best.hours)
    return (
        f"It was kept in {kept} of {n} replications, {share_text(sized, best)}; taken alone, that gives "
        f"{_confidence(best)} confidence that its chance is {percent(sized.choices.promise.chance)} or more. "
        f"That all verdicts below are right has {percent(1 - DOUBT)} confidence."
    )


def _confidence(candidate: Candidate) -> str:
    return "above 99.99 %" if candidate.doubt < 1e-4 else f"{100 * (1 - candidate.doubt):.2f} %"


def _runner_up(sized: Sized, best: Candidate) -> list[str]:
    others = [each for each in sized.keepers if each is not best]
    if not others:
        return ["No other candidate was shown to keep it."]
    second = others[0]
    more = f"{money(sized, second.cost - best.cost)} more" if second.cost > best.cost else "the same"
    return [f"The runner-up costs {money(sized, second.cost)}, {more}: {values_text(second)}."]


def _cheaper(sized: Sized, best: Candidate) -> list[str]:
    cheaper = [each for each in sized.candidates if each.cost < best.cost]
    if not cheaper:
        return []
    undecided = [each for each in cheaper if each.verdict == OPEN]
    nearest = max(undecided or cheaper, key=lambda each: sized.share(each).share)
    saved = money(sized, best.cost - nearest.cost)
    said = f"{values_text(nearest)}, would save {saved} but kept it in {share_text(sized, nearest)} of replications"
    if undecided:
        return [
            f"Of those that cost less, {len(undecided)} could not be judged yet; more replications would tell. "
            f"One of them, {said}."
        ]
    return [f"All that cost less are shown to break it; the nearest, {said}."]


def _none(sized: Sized) -> str:
    nearest = max(sized.candidates, key=lambda each: sized.share(each).share)
    undecided = sum(each.verdict == OPEN for each in sized.candidates)
    left = f"; {undecided} could not be judged yet, and more replications would tell" if undecided else ""
    return (
        f"No choice is shown to keep the promise, {promise_text(sized)}{left}. The nearest, {values_text(nearest)} at "
        f"{money(sized, nearest.cost)}, kept it in {share_text(sized, nearest)} of {len(nearest.hours)} replications."
    )


def money(sized: Sized, amount: float) -> str:
    """An amount in the currency of the choices."""
    return f"{amount:,.0f} {sized.currency}".replace(",", " ").strip()


def share_text(sized: Sized, candidate: Candidate) -> str:
    """Share of replications that kept the promise, with its interval."""
    share = sized.share(candidate)
    return f"{100 * share.share:.1f} % [{100 * share.low:.1f}, {100 * share.high:.1f}]"


def values_text(candidate: Candidate) -> str:
    """What is chosen, each under the last two names of its path."""
    return ", ".join(f"{short(path)} {as_written(value)}" for path, value in candidate.values.items())


def short(path: str) -> str:
    """The last two names of a path."""
    return ".".join(path.split(".")[-2:])


def show(sized: Sized, console: Console) -> None:
    """Print the answer, then every candidate."""
    tell(console, f"{sized.scenario.title}:")
    for sentence in sentences(sized):
        tell(console, sentence)
    console.print()
    console.print(_table(sized))
    tell(console, f"{CONVENTION} Its interval in days from the start.")
    tell(console, _LEGEND)


_LEGEND = (
    "Promise kept: share of its replications that met the date; brackets: 95 % confidence interval. Candidates share "
    "the luck, and are played until judged; dearer: no longer played, for two that cost less are shown to keep it."
)


def _table(sized: Sized) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", title_justify="left", title_style="bold")
    table.title = f"{len(sized.candidates)} candidates, cheapest first"
    chance = f"P{100 * sized.choices.promise.chance:g}"
    paths = [short(path).replace(".", ".\n").replace("_", " ") for path in sized.choices.cheapest_of]
    for heading in ("cost", *paths, "played", "promise kept", chance, "verdict"):
        table.add_column(heading, overflow="fold")
    for each in sized.candidates:
        values = [as_written(value) for value in each.values.values()]
        cells = [money(sized, each.cost), *values, str(len(each.hours)), share_text(sized, each), _date(sized, each)]
        style = {KEEPS: "bold", BREAKS: "dim"}.get(each.verdict)
        table.add_row(*cells, each.verdict, style=style)
    return table


def _date(sized: Sized, candidate: Candidate) -> str:
    found = sized.date(candidate)
    if found.value == inf:
        return BEYOND
    low, high = (
        "?" if rank is None else days_text(hours)
        for hours, rank in ((found.low, found.low_rank), (found.high, found.high_rank))
    )
    return f"{date_text(sized.scenario, found.value)} [{low}, {high}]"
