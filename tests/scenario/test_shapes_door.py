"""Shapes of uncertainty as stated, against the parameters that they stand for."""

from __future__ import annotations

from math import exp, sqrt
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from sim.scenario import shapes
from sim.scenario.durations import ByStage, DesignDuration, Duration, Factor, StageDuration

duration: TypeAdapter[Any] = TypeAdapter(Duration)
stage_duration: TypeAdapter[Any] = TypeAdapter(StageDuration)
factor: TypeAdapter[Any] = TypeAdapter(Factor)


def test_lognormal_by_percentiles() -> None:
    """P10 = 90 and P90 = 210 give mu 4.9234586 and sigma .33057502 (computed with scipy 1.17)."""
    stated = factor.validate_python({"lognormal": {"P10": 90, "P90": 210}})
    assert stated == shapes.Lognormal(pytest.approx(4.9234586, abs=5e-8), pytest.approx(0.33057502, abs=5e-9))


def test_lognormal_by_mean_and_cv() -> None:
    """The mean is exp(mu + sigma^2 / 2) and the cv is sqrt(exp(sigma^2) - 1), so both can be had back."""
    stated = duration.validate_python({"lognormal": {"mean": "75 min", "cv": 0.2}})
    assert exp(stated.mu + stated.sigma**2 / 2) == pytest.approx(1.25)
    assert sqrt(exp(stated.sigma**2) - 1) == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("stated", "shape"),
    [
        ("90 min", 1.5),
        (0, 0.0),
        ({"triangular": ["4 h", "6 h", "12 h"]}, shapes.Triangular(4, 6, 12)),
        ({"triangular": ["4 h", "4 h", "12 h"]}, shapes.Triangular(4, 4, 12)),
        ({"pert": ["5 min", "9 min", "24 min"]}, shapes.Pert(5 / 60, 0.15, 0.4)),
        ({"uniform": ["1 day", "2 day"]}, shapes.Uniform(24, 48)),
        ({"gamma": {"mean": "6 h", "cv": 0.8}}, shapes.Gamma(6, 0.8)),
        ({"weibull": {"mean": "6 h", "shape": 2}}, shapes.Weibull(6, 2)),
        ({"exponential": "100 h"}, shapes.Exponential(100)),
        ({"empirical": ["1 h", "90 min"]}, shapes.Empirical((1, 1.5))),
    ],
)
def test_a_stated_duration_becomes_its_shape(stated: object, shape: object) -> None:
    """Durations come in as hours, fixed or as a distribution."""
    read = duration.validate_python(stated)
    assert read == (
        shape if not isinstance(shape, shapes.Pert) else shapes.Pert(*map(pytest.approx, (5 / 60, 0.15, 0.4)))
    )


def test_a_stage_may_take_its_time_from_the_design() -> None:
    """'from design' in words is the same as in full, with nothing added."""
    assert stage_duration.validate_python("from design") == stage_duration.validate_python({"from_design": {}})
    stated = stage_duration.validate_python({"from_design": {"factor": {"uniform": [0.9, 1.2]}, "plus": "12 min"}})
    assert isinstance(stated, DesignDuration)
    assert stated.from_design.factor == shapes.Uniform(0.9, 1.2)
    assert stated.from_design.plus == pytest.approx(0.2)


def test_a_duration_for_each_stage() -> None:
    """Each entry of by_stage is a duration of its own."""
    stated = stage_duration.validate_python({"by_stage": ["2 h", {"uniform": ["1 h", "2 h"]}]})
    assert isinstance(stated, ByStage)
    assert stated.by_stage == (2.0, shapes.Uniform(1, 2))


@pytest.mark.parametrize(
    "stated",
    [
        {"triangular": ["6 h", "4 h", "12 h"]},
        {"triangular": ["4 h", "4 h", "4 h"]},
        {"uniform": ["2 h", "2 h"]},
        {"lognormal": {"P10": "3 h", "P90": "2 h"}},
        {"lognormal": {"mean": "0 h", "cv": 0.5}},
        {"gamma": {"mean": "2 h", "cv": 0}},
        {"gamma": {"mean": "2 h", "cv": 11}},
        {"empirical": []},
        {"by_stage": ["1 h"]},
        {"triangular": ["1 h", "2 h", "3 h"], "pert": ["1 h", "2 h", "3 h"]},
        {},
        [],
        "later",
        True,
    ],
)
def test_an_impossible_duration_is_refused(stated: object) -> None:
    """Neither disorder, nor spread without width, nor two shapes at once."""
    with pytest.raises(ValidationError):
        duration.validate_python(stated)
