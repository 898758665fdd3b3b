"""Calibration finds again what an invented log was made with, within intervals computed from its own size."""

from __future__ import annotations

from functools import cache
from math import log, sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from scipy import stats

from analysis.field.attempts import attempts_of
from analysis.field.calibration import Calibrated, Calibration, calibrate
from analysis.field.families import choose, fit_all, goodness_of_fit
from analysis.field.fieldlog_run import with_truth
from analysis.field.hidden_truth import truth_of
from analysis.field.reading import FieldLog, read_log
from analysis.field.synthetic import invented_log
from analysis.field.updating import update_chance
from sim.pad import simulate
from sim.scenario import read
from sim.scenario.shapes import Lognormal
from tests.fielddata.logs import SIX_WELLS, six_wells, written

SURE = 4.0  # standard errors


@cache
def invented(seed: int, slips: bool) -> tuple[FieldLog, dict]:
    document = read(SIX_WELLS)
    truth = truth_of(six_wells(), document, seed)
    log = invented_log(with_truth(document, truth), seed, slips=slips)
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.csv"
        file.write_text(log.csv(), encoding="utf-8")
        return read_log(file, six_wells()), truth


@cache
def calibrated(seed: int, slips: bool, weight: float) -> Calibration:
    return calibrate(invented(seed, slips)[0], six_wells(), read(SIX_WELLS), weight)


def figure(found: Calibration, name: str) -> Calibrated:
    return next(each for each in found.figures if each.quantity.name.startswith(name))


def true_lognormal(value: dict) -> Lognormal:
    stated = value["from_design"]["factor"] if "from_design" in value else value
    mean, cv = stated["lognormal"]["mean"], stated["lognormal"]["cv"]
    spread = log(1 + cv**2)
    hours = mean if isinstance(mean, float) else float(mean.split()[0]) / {"min": 60, "h": 1}[mean.split()[1]]
    return Lognormal(log(hours) - spread / 2, sqrt(spread))


@pytest.mark.parametrize("seed", [1, 3])
@pytest.mark.parametrize(
    ("name", "path"),
    [
        ("pump stage", "well_defaults.stage_design.pump_time"),
        ("plug and perforate", "well_defaults.stage_design.wireline_time"),
        ("swap", "strategy.swap.time"),
    ],
)
def test_hidden_figures_are_found_again(seed: int, name: str, path: str) -> None:
    """Of 294 stages: mean and deviation of the logarithm within four standard errors, s / sqrt(n), s / sqrt(2 n).

    Rounding to five minutes adds up to five minutes squared over six to the variance of a duration.
    """
    found, truth = figure(calibrated(seed, False, 0.0), name), true_lognormal(invented(seed, False)[1][path])
    n = len(found.quantity.done)
    rounding = (5 / 60) ** 2 / 6 / np.mean(found.quantity.done if name == "swap" else [1.5]) ** 2
    assert n > 280
    assert abs(found.seen.mean - truth.mu) < SURE * truth.sigma / sqrt(n) + rounding
    widest = sqrt(truth.sigma**2 + rounding)
    assert truth.sigma * (1 - SURE / sqrt(2 * n)) < sqrt(found.seen.variance) < widest * (1 + SURE / sqrt(2 * n))


def test_chances_are_found_again() -> None:
    """True chances lie in the exact interval of their strikes, at 99.9 %, with a trifle for the one that is rounded."""
    found, truth = calibrated(3, False, 0.0), invented(3, False)[1]
    for rate in found.rates:
        chance = float(truth[f"troubles.{rate.name}.chance"].split()[0]) / 100
        exact = update_chance(rate.prior, 0.0, rate.strikes, rate.jobs, confidence=0.999)
        assert exact.data_low <= chance <= exact.data_high


def test_slips_cost_a_few_rows_and_are_all_named() -> None:
    """Five slips, five rows left out; what is calibrated hardly moves."""
    clean, dirty = invented(3, False)[0], invented(3, True)[0]
    kinds = {finding.kind for finding in dirty.findings if finding.left_out}
    assert clean.left_out == 0
    assert 4 <= dirty.left_out <= 6
    assert {"repeated rows", "unknown words", "missing cells", "overlapping rows"} <= kinds
    a, b = (figure(calibrated(3, slips, 5.0), "pump stage").posterior.moments.mean for slips in (False, True))
    assert a == pytest.approx(b, abs=0.003)


def test_a_thin_log_moves_the_plan_little_and_a_thick_one_much() -> None:
    """The update of one nipple-up lies near the plan, that of 294 stages near the field."""
    found = calibrated(3, False, 5.0)
    thin, thick = figure(found, "watch pressure"), figure(found, "pump stage")
    assert thin.prior is not None
    assert thick.prior is not None
    moved = [
        (each.posterior.moments.mean - each.prior.mean) / (each.seen.mean - each.prior.mean) for each in (thin, thick)
    ]
    assert moved == pytest.approx([1 / 6, 294 / 299], abs=0.01)


def test_learning_is_seen_where_there_is_some_and_only_there(tmp_path: Path) -> None:
    """A fleet that needs 93 % of the time after twice as many stages: the interval holds that, and not 100 %."""
    taught = with_truth(read(SIX_WELLS), {"units.pumping_fleets.learning": {"doubling": "93 %"}})
    file = tmp_path / "log.csv"
    file.write_text(written(taught, simulate(taught, 0, 1)), encoding="utf-8")
    log = read_log(file, six_wells())
    fleet, wireline = calibrate(log, six_wells(), read(SIX_WELLS), 5.0).curves
    assert fleet.shown
    assert fleet.low < 0.93 < fleet.high
    assert not wireline.shown
    assert not any(curve.shown for curve in calibrated(3, False, 5.0).curves)


def test_a_plan_that_teaches_is_asked_for_its_learning_only_once(tmp_path: Path) -> None:
    """Times of a fleet that learns as planned, its learning taken out, are those of its first stage."""
    document = read(SIX_WELLS)
    taught = with_truth(document, {"units.pumping_fleets.learning": {"doubling": "93 %"}})
    file = tmp_path / "log.csv"
    file.write_text(written(taught, simulate(taught, 0, 1)), encoding="utf-8")
    found = figure(calibrate(read_log(file, taught), taught, document, 0.0), "pump stage")
    assert found.prior is not None
    assert found.seen.mean == pytest.approx(found.prior.mean, abs=SURE * sqrt(found.prior.variance / 294) + 0.02)


@pytest.mark.parametrize(("family", "draws"), [("gamma", "gamma"), ("weibull", "weibull"), ("lognormal", "lognormal")])
def test_the_right_family_is_chosen_and_passes(family: str, draws: str) -> None:
    """Of a thousand hours drawn from a family; its goodness of fit is not beyond chance."""
    rng = np.random.default_rng(5)
    hours = {
        "gamma": rng.gamma(2, 3, 1000),
        "weibull": 3 * rng.weibull(3, 1000),
        "lognormal": rng.lognormal(1, 0.5, 1000),
    }
    fits = fit_all(hours[draws], np.array([]))
    chosen = choose(fits, 1000)
    assert chosen is not None
    assert chosen.family == family
    p_value = goodness_of_fit(chosen, hours[draws], np.array([]))
    assert p_value is not None
    assert p_value > 0.01


def test_a_wrong_family_is_told() -> None:
    """Two kinds of job thrown together, an hour and ten hours, are no lognormal: p at its least, 1 in 200."""
    rng = np.random.default_rng(5)
    hours = np.concatenate([rng.lognormal(0, 0.1, 60), rng.lognormal(2.3, 0.1, 60)])
    chosen = choose(fit_all(hours, np.array([])), len(hours))
    assert chosen is not None
    assert goodness_of_fit(chosen, hours, np.array([])) == pytest.approx(1 / 200)


def test_unfinished_work_is_not_taken_for_finished() -> None:
    """Exponential of 10 h, cut at 8 h: taken as cut, the mean is 10 h within 4 / sqrt(n); taken as done, far less."""
    drawn = np.random.default_rng(2).exponential(10, 2000)
    done, cut = drawn[drawn < 8], np.full((drawn >= 8).sum(), 8.0)
    fit = next(fit for fit in fit_all(done, cut) if fit.family == "exponential")
    assert fit.shape.mean == pytest.approx(10, rel=SURE / sqrt(len(done)))  # type: ignore[union-attr]
    assert done.mean() < 5


def test_too_little_to_choose_by_takes_the_lognormal() -> None:
    hours = np.array([1.0, 2.0, 2.5, 3.0])
    assert choose(fit_all(hours, np.array([])), 4).family == "lognormal"  # type: ignore[union-attr]
    assert fit_all(np.array([2.0, 2.0, 2.0]), np.array([])) == []
    assert fit_all(np.array([2.0]), np.array([])) == []


def test_every_stage_is_an_attempt_of_the_demo() -> None:
    jobs = attempts_of(invented(3, False)[0], six_wells())
    assert (jobs["activity"] == "pump stage").sum() == 294
    assert stats.describe(jobs["tries"]).minmax[0] == 1
