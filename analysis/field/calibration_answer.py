"""A calibration on the terminal: what differs from the plan in a sentence, then every figure with its evidence."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, inf

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.field.calibration import Calibrated, Calibration
from analysis.field.families import LEAST_TO_CHOOSE
from analysis.field.findings import told
from analysis.field.left_alone import left_alone
from analysis.field.quantities import FACTOR, SPEED
from analysis.field.reading import FieldLog
from analysis.field.written_values import like, percentages, times, unit_for
from analysis.statistics import MeanEstimate
from analysis.wording import in_words, tell
from sim.scenario.scenario import Scenario

WIDE = 110  # columns that the whole table needs
COARSE_MIN = 5  # rounding from which short jobs look different
LISTED = 3  # differences named in the first sentence


def show(calibration: Calibration, log: FieldLog, scenario: Scenario, console: Console) -> None:
    """Print all of it."""
    tell(console, answer(calibration, scenario))
    tell(console, read_sentence(log))
    console.print()
    narrow = console.width < WIDE
    console.print(_figures(calibration, narrow))
    tell(console, _key(calibration) + (f" Families and fits are shown from {WIDE} columns on." if narrow else ""))
    if calibration.rates:
        console.print()
        console.print(_rates(calibration))
        tell(console, "Field: exact 95 % interval. Together: 95 % interval under the plan's weight, as given above.")
    console.print()
    for sentence in [*_remarks(calibration), *_limits(log, scenario)]:
        tell(console, sentence)
    show_findings(log, console)
    console.print()
    tell(console, SHORT, style="dim")


def read_sentence(log: FieldLog) -> str:
    """How much of the log was used."""
    noted = len(log.findings) - sum(finding.left_out for finding in log.findings)
    noted_text = f", {noted:,} oddities noted" if noted else ""
    return f"{log.source}: {log.read:,} rows read, {len(log.rows):,} used, {log.left_out:,} left out{noted_text}."


def show_findings(log: FieldLog, console: Console) -> None:
    """What was left out and why, by row."""
    if log.findings:
        console.print("\nOddities of the log", style="bold")
        for line in told(log.findings, log.source):
            tell(console, line, hanging="  ")


def answer(calibration: Calibration, scenario: Scenario) -> str:
    """What differs most from the plan."""
    known = len(calibration.figures)
    different = sorted((each for each in calibration.figures if each.differs), key=lambda each: -_off(each))
    start = f"{scenario.title}: the log tells of {known} of {known + len(calibration.unseen)} durations of the plan"
    if not different:
        return f"{start}; none of them differs from the plan by more than chance would."
    named = ", ".join(_difference(each) for each in different[:LISTED])
    count = in_words(len(different))
    return f"{start}; {count} {'differs' if len(different) == 1 else 'differ'} from it by more than chance: {named}."


def _off(figure: Calibrated) -> float:
    return max(figure.ratio, 1 / figure.ratio)


def _difference(figure: Calibrated) -> str:
    change = 100 * (figure.ratio - 1)
    more, less = ("faster", "slower") if figure.quantity.kind == SPEED else ("longer", "shorter")
    return f"{figure.quantity.name} {abs(change):.0f} % {more if change > 0 else less}"


def _figures(calibration: Calibration, narrow: bool) -> Table:
    table = _table("Durations")
    headings = ("of the plan", "jobs", "unit", "plan", "field", "together", "family", "fit")
    shown = headings[:-2] if narrow else headings
    for heading in shown:
        table.add_column(heading, overflow="fold")
    for figure in calibration.figures:
        table.add_row(*_row(figure)[: len(shown)])
    return table


def _row(figure: Calibrated) -> tuple[str, ...]:
    quantity, posterior = figure.quantity, figure.posterior
    cut = f" + {len(quantity.unfinished)} going on" if len(quantity.unfinished) else ""
    median, seen = exp(posterior.moments.mean), exp(figure.seen.mean)
    unit, put = _measure(figure, median)
    return (
        ("* " if figure.differs else "  ") + quantity.name,
        f"{len(quantity.done)}{cut}",
        unit,
        "-" if figure.prior is None else put(exp(figure.prior.mean)),
        put(seen),
        f"{put(median)} [{put(posterior.median_low)}, {put(posterior.median_high)}]",
        _family(figure),
        "-" if figure.p_value is None else f"p {figure.p_value:.2f}",
    )


def _measure(figure: Calibrated, typical: float) -> tuple[str, Callable[[float], str]]:
    """The unit of a row, and how its numbers are written in it."""
    if figure.quantity.kind == SPEED:
        return "ft/min", lambda value: "?" if value == inf else f"{float(f'{value / 60:.3g}'):g}"
    if figure.quantity.kind == FACTOR:
        return "of design", lambda value: "?" if value == inf else f"{value:.3f}"
    return unit_for(typical), lambda value: "?" if value == inf else like(value, typical)


def _short(text: str) -> str:
    """Three digits are enough to read."""
    number, _, unit = text.partition(" ")
    return f"{float(f'{float(number):.3g}'):g} {unit}".strip()


def _family(figure: Calibrated) -> str:
    chosen = figure.chosen
    if chosen is None:
        return "-"
    if len(figure.quantity.done) < LEAST_TO_CHOOSE or len(figure.fits) < 2 or chosen is not figure.fits[0]:
        return f"{chosen.family} (taken)"
    return f"{chosen.family} (by {figure.fits[1].aicc - chosen.aicc:.1f})"


def _key(calibration: Calibration) -> str:
    return (
        "Medians; in brackets 95 % intervals. * more than chance: the plan lies outside the interval of both together. "
        f"Together: the plan counts as much as {calibration.prior_weight:g} observations. Family: chosen by AICc, in "
        f"brackets how far ahead of the next; with fewer than {LEAST_TO_CHOOSE} jobs the lognormal is taken. Fit: "
        "chance of a worse Anderson-Darling distance if the family were right; below 0.05 look at the picture."
    )


def _rates(calibration: Calibration) -> Table:
    table = _table("Troubles")
    for heading in ("trouble", "struck", "plan", "field", "together"):
        table.add_column(heading, overflow="fold")
    for each in calibration.rates:
        put = percentages if each.by_chance else times
        seen = f"{each.strikes} of {each.jobs} jobs" if each.by_chance else f"{each.strikes} in {each.hours:.0f} h"
        rate = each.rate
        table.add_row(
            each.name,
            seen,
            _short(put(each.prior)),
            _interval(rate.data, rate.data_low, rate.data_high, put),
            _interval(rate.value, rate.low, rate.high, put),
        )
    return table


def _interval(value: float, low: float, high: float, put: Callable[[float], str]) -> str:
    texts = [_short(put(each)) if each < inf else "?" for each in (value, low, high)]
    return f"{texts[0]} [{texts[1]}, {texts[2]}]"


def _remarks(calibration: Calibration) -> list[str]:
    said = [
        f"{pace.unit} pumped {_mean(pace.mean)} h a day over {pace.days} whole days, from {pace.lowest:.1f} to "
        f"{pace.highest:.1f} h (95 % interval, wider where one day is like the next)."
        for pace in calibration.paces
    ]
    for curve in calibration.curves:
        found = "shows" if curve.shown else "does not show"
        said.append(
            f"{curve.activity}: the log {found} learning; time left on doubling {percentages(curve.doubling)}, 95 % "
            f"interval {percentages(curve.low)} to {percentages(curve.high)}, {curve.n} jobs."
        )
    said += [
        f"'{each.cause}' took {each.hours:.1f} h in {each.rows} rows and is no trouble of the plan: state it under "
        "troubles, or name it in the column map."
        for each in calibration.unplanned
    ]
    said += [
        f"{each.quantity.name}: {each.quantity.set_aside} jobs set aside, no longer than what is added to the design."
        for each in calibration.figures
        if each.quantity.set_aside
    ]
    said += [
        f"{each.name}: the 0 % of the plan weighs nothing; together is what the field says alone."
        for each in calibration.rates
        if each.planned_never
    ]
    if calibration.unseen:
        said.append(f"Nothing finished in the log of: {'; '.join(each.name for each in calibration.unseen)}.")
    return said


def _limits(log: FieldLog, scenario: Scenario) -> list[str]:
    """What the log cannot tell."""
    said, left = [], left_alone(scenario)
    if left:
        said.append(f"Left as planned: {'; '.join(left)}.")
    if log.rounded_to_min >= COARSE_MIN:
        said.append(
            f"Times are rounded to {log.rounded_to_min} min: short jobs spread a little more than they did, and any "
            "fit to many of them looks worse than it is."
        )
    return said


def _mean(estimate: MeanEstimate) -> str:
    return f"{estimate.mean:.1f} [{estimate.low:.1f}, {estimate.high:.1f}]"


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
