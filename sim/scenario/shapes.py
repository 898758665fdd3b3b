"""Shapes of uncertainty, as plain parameters in internal units."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Triangular:
    """Lowest, most likely, highest."""

    low: float
    mode: float
    high: float


@dataclass(frozen=True, slots=True)
class Pert:
    """Beta on [low, high] with the stated mode and shape 4 (Malcolm et al. 1959, from memory)."""

    low: float
    mode: float
    high: float


@dataclass(frozen=True, slots=True)
class Uniform:
    """Anything between the two, equally likely."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Lognormal:
    """The exponential of a normal with mean `mu` and standard deviation `sigma`."""

    mu: float
    sigma: float


@dataclass(frozen=True, slots=True)
class Gamma:
    """Gamma by mean and cv: the sum of many small waits."""

    mean: float
    cv: float


@dataclass(frozen=True, slots=True)
class Weibull:
    """Weibull by mean and shape: below 1 early ends are common, above 1 it wears out."""

    mean: float
    shape: float


@dataclass(frozen=True, slots=True)
class Exponential:
    """Exponential by its mean."""

    mean: float


@dataclass(frozen=True, slots=True)
class Empirical:
    """Observed values, each equally likely."""

    values: tuple[float, ...]


Shape = Triangular | Pert | Uniform | Lognormal | Gamma | Weibull | Exponential | Empirical
