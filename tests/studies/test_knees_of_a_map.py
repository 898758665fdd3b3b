"""Knees along both sides of a map: those of each row and column taken alone, each with its interval, or why none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from rich.console import Console

from analysis.studies.knee import Knee, NoKnee
from analysis.studies.knees import Along, knee_of
from analysis.studies.paths_in_plan import Axis
from analysis.studies.sweep import Swept
from analysis.studies.sweep_answer import sentences, show
from tests.benchmarks.pads import many_wells

RATES, STORES = np.linspace(10.0, 70.0, 7), np.linspace(5.0, 35.0, 6)
JOINTS = 25.0 + STORES / 5  # where the rate stops paying, by storage


def axis(path: str, numbers: np.ndarray, unit: str, kind: str = "number") -> Axis:
    values = tuple(f"{number:g} {unit}" for number in numbers)
    return Axis(path, values, tuple(numbers.tolist()), unit, kind)


@pytest.fixture(scope="module")
def swept() -> Swept:
    """Hours that fall by 12 a unit of rate up to a joint that moves with the storage, which itself does nothing."""
    luck = np.random.default_rng(5).normal(0.0, 2.0, 60)
    late = np.array([[12.0 * max(joint - rate, 0.0) + 900.0 for joint in JOINTS] for rate in RATES])
    axes = (axis("rate", RATES, "kbbl/day"), axis("storage", STORES, "kbbl"))
    hours = late.reshape(-1, 1) + luck[None, :]
    return Swept(many_wells(2), axes, "every well on production", hours, 0, 60)


def along(swept: Swept) -> tuple[Along, ...]:
    found = knee_of(swept)
    assert isinstance(found, tuple)
    assert not isinstance(found, Knee | NoKnee)
    return found


def test_rows_and_columns_are_those_taken_alone(swept: Swept) -> None:
    """Along the rate, the joint of each storage within its interval; along the storage what is there to say."""
    rate, storage = along(swept)
    assert (rate.axis.path, rate.other.path, len(rate.found)) == ("rate", "storage", len(STORES))
    assert (storage.axis.path, len(storage.found)) == ("storage", len(RATES))
    for joint, found in zip(JOINTS, rate.found, strict=True):
        assert isinstance(found, Knee)
        assert found.place == pytest.approx(joint, abs=0.1)
        assert found.low <= joint + 0.1
        assert joint - 0.1 <= found.high
    beyond = storage.found[-1]
    assert isinstance(beyond, NoKnee)
    assert beyond.reason == "P90 moves by less than half a day in all"


def test_terminal_states_each_with_its_interval(swept: Swept) -> None:
    console = Console(width=130, record=True, file=None, quiet=False, markup=False)
    with console.capture() as said:
        show(swept, knee_of(swept), console)
    text = said.get()
    answer = " ".join(sentences(swept, knee_of(swept)))
    assert "Along rate the knee is at 26 [" in answer
    assert "with storage 5 kbbl and 32 [" in answer
    assert "Along storage the knee is at 25 [" in answer  # where the line of 30 kbbl/day reaches its joint
    assert "Knee of P90 along rate" in text
    assert "none: P90 moves by less than half a day in all" in text
    assert "of each line by itself" in " ".join(text.split())


def test_words_and_few_values_have_none(swept: Swept) -> None:
    """A side of words has no knee to look for; one of four values is too short, and says so."""
    words = replace(swept, axes=(swept.axes[0]._replace(kind="word"), swept.axes[1]))
    assert [each.axis.path for each in along(words)] == ["storage"]
    hours = swept.hours.reshape(len(RATES), len(STORES), -1)[:, :4].reshape(len(RATES) * 4, -1)
    short = replace(swept, axes=(swept.axes[0], axis("storage", STORES[:4], "kbbl")), hours=hours)
    _, storage = along(short)
    assert all(isinstance(each, NoKnee) and "at least 5 points" in each.reason for each in storage.found)
