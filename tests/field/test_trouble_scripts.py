"""How a job goes under its luck: steps of work and of hours lost, by hand and for any luck."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.chance.troubles import MOST_STRIKES, Hazard, Script, script

JOB_H = 10.0
fixed = settings(derandomize=True, deadline=None, max_examples=300)


def by_chance(name: str, then: str, *apart_h: float, lost_h: Sequence[float] = (1.0, 2.0, 3.0, 4.0)) -> Hazard:
    """Strikes at that hour of each attempt at the job; not at all where it is infinite."""
    return Hazard(name, then, True, apart_h, lost_h)


def by_the_hour(name: str, then: str, *apart_h: float, lost_h: Sequence[float] = (1.0, 2.0, 3.0, 4.0)) -> Hazard:
    """Strikes after so many hours of work, then after so many more."""
    return Hazard(name, then, False, apart_h, lost_h)


def steps(text: str) -> list[tuple[float, str]]:
    """`4 2a 6`: four hours of work, two lost to trouble a, six of work."""
    parts = [re.fullmatch(r"([0-9.]+)([a-z]*)", part) for part in text.split()]
    return [(float(part[1]), part[2]) for part in parts if part]


def told(found: Script) -> list[tuple[float, str]]:
    return [(step.hours, step.trouble) for step in found.steps]


RESUME, REPEAT, GIVE_UP = "resume", "repeat", "give up the rest"

BY_HAND = {
    "nothing strikes": ([by_chance("a", RESUME, inf)], "10", 0.0),
    "resumes where it stopped": ([by_chance("a", RESUME, 4)], "4 1a 6", 0.0),
    "a job is struck once by chance": ([by_chance("a", RESUME, 4, 2, 2, 2)], "4 1a 6", 0.0),
    "begins again": ([by_chance("a", REPEAT, 4, inf)], "4 1a 10", 0.0),
    "each attempt has its own chance": ([by_chance("a", REPEAT, 4, 7, inf, 5)], "4 1a 7 2a 10", 0.0),
    "the rest is given up": ([by_chance("a", GIVE_UP, 4)], "4 1a", 0.6),
    "given up at once": ([by_chance("a", GIVE_UP, 0)], "0 1a", 1.0),
    "by the hour, again and again": ([by_the_hour("a", RESUME, 3, 3, 5)], "3 1a 3 2a 4", 0.0),
    "by the hour, each time from the start": ([by_the_hour("a", REPEAT, 3, 9, 11)], "3 1a 9 2a 10", 0.0),
    "by the hour, then given up": ([by_the_hour("a", GIVE_UP, 7, 1)], "7 1a", 0.3),
    "a strike at the very end comes too late": ([by_chance("a", RESUME, 10)], "10", 0.0),
    "two troubles in the order of time": (
        [by_chance("a", RESUME, 6), by_the_hour("b", RESUME, 4, 4, 9)],
        "4 1b 2 1a 2 2b 2",
        0.0,
    ),
    "two at the same moment": ([by_chance("a", RESUME, 4), by_chance("b", RESUME, 4)], "4 1a 0 1b 6", 0.0),
    "a new attempt meets another chance of the others": (
        [by_chance("a", RESUME, inf, 2), by_chance("b", REPEAT, 5, inf)],
        "5 1b 2 2a 8",
        0.0,
    ),
    "hours to the next strike run on into a new attempt": (
        [by_chance("a", REPEAT, 5, inf), by_the_hour("b", RESUME, 7, 20)],
        "5 1a 2 1b 8",
        0.0,
    ),
    "given up in the second attempt": (
        [by_chance("a", REPEAT, 5, inf), by_chance("b", GIVE_UP, 6, 2)],
        "5 1a 2 2b",
        0.8,
    ),
}


@pytest.mark.parametrize(("hazards", "expected", "given_up"), BY_HAND.values(), ids=BY_HAND)
def test_by_hand(hazards: list[Hazard], expected: str, given_up: float) -> None:
    """A job of ten hours. A strike costs one hour in the first attempt or time, in the second two, then three, four."""
    found = script(JOB_H, hazards)
    assert told(found) == steps(expected)
    assert found.given_up == pytest.approx(given_up, abs=1e-12)


@pytest.mark.parametrize("hazard", [by_chance("a", REPEAT, 5, 5, 5, 5), by_the_hour("a", REPEAT, 5, 5, 5, 5)])
def test_a_job_that_is_always_struck_is_let_go_on(hazard: Hazard) -> None:
    """After the most strikes there are the job is done at last, and all that was worked in vain is there."""
    found = script(JOB_H, [hazard])
    assert told(found) == steps("5 1a 5 2a 5 3a 5 4a 10")
    assert sum(step.trouble == "a" for step in found.steps) == MOST_STRIKES


def test_hours_that_rounding_cannot_add_up() -> None:
    """Strikes every tenth of an hour in three tenths: two strike, the third would be at the very end."""
    found = script(0.3, [by_the_hour("a", RESUME, 0.1, 0.1, 0.1, 0.1)])
    assert [step.trouble for step in found.steps] == ["", "a", "", "a", ""]
    assert all(step.hours >= 0 for step in found.steps)
    assert worked_h(found) == pytest.approx(0.3, abs=1e-12)


hours_apart = st.one_of(st.just(inf), st.floats(0, 30))
lengths = st.floats(0.01, 40)
four_hours = st.lists(st.floats(0.1, 50), min_size=MOST_STRIKES, max_size=MOST_STRIKES)


@st.composite
def hazards(draw: st.DrawFn, thens: tuple[str, ...]) -> list[Hazard]:
    """One to four troubles of any manner."""
    many = draw(st.integers(1, 4))
    apart = st.lists(hours_apart, min_size=MOST_STRIKES, max_size=MOST_STRIKES)
    return [
        Hazard(f"trouble {k}", draw(st.sampled_from(thens)), draw(st.booleans()), draw(apart), draw(four_hours))
        for k in range(many)
    ]


def worked_h(found: Script) -> float:
    return sum(step.hours for step in found.steps if not step.trouble)


@fixed
@given(lengths, hazards((RESUME,)))
def test_work_that_resumes_is_done_once(hours: float, luck: list[Hazard]) -> None:
    """However often it is struck, its steps of work add up to the job."""
    found = script(hours, luck)
    assert worked_h(found) == pytest.approx(hours, rel=1e-9)
    assert found.given_up == 0


@fixed
@given(lengths, hazards((RESUME, REPEAT, GIVE_UP)))
def test_hours_lost_are_those_of_the_troubles_that_struck(hours: float, luck: list[Hazard]) -> None:
    """A trouble is there at most so many times, each time with hours of its own; nothing else is lost."""
    lost = [step for step in script(hours, luck).steps if step.trouble]
    for hazard in luck:
        mine = [step.hours for step in lost if step.trouble == hazard.name]
        assert len(mine) <= (1 if hazard.each_attempt and hazard.then != REPEAT else MOST_STRIKES)
        left = iter(hazard.lost_h)
        assert all(each in left for each in mine)  # a subsequence, in order
    assert {step.trouble for step in lost} <= {hazard.name for hazard in luck}


@fixed
@given(lengths, hazards((RESUME, REPEAT, GIVE_UP)))
def test_the_last_attempt_is_the_job(hours: float, luck: list[Hazard]) -> None:
    """What is worked after the last beginning is the job, less the share given up; what was before was in vain."""
    found = script(hours, luck)
    manner = {hazard.name: hazard.then for hazard in luck}
    begins = [number for number, step in enumerate(found.steps) if manner.get(step.trouble) == REPEAT]
    last = found.steps[begins[-1] + 1 :] if begins else found.steps
    assert sum(step.hours for step in last if not step.trouble) == pytest.approx(
        hours * (1 - found.given_up), rel=1e-9, abs=1e-12
    )
    assert worked_h(found) >= hours * (1 - found.given_up) - 1e-9
    ends_in_trouble = bool(found.steps[-1].trouble)
    assert ends_in_trouble == (manner.get(found.steps[-1].trouble) == GIVE_UP)


@fixed
@given(lengths, hazards((RESUME, REPEAT, GIVE_UP)))
def test_every_job_ends(hours: float, luck: list[Hazard]) -> None:
    """No luck makes a job go on for ever: a step of work before each strike, and one after the last."""
    found = script(hours, luck)
    strikes = sum(bool(step.trouble) for step in found.steps)
    assert strikes <= MOST_STRIKES * len(luck)
    assert len(found.steps) <= 2 * strikes + 1
    assert all(step.hours >= 0 for step in found.steps)


def test_whoever_begins_an_attempt_believes_in_all_of_it() -> None:
    """Ten hours at first, and again after what makes begin again; while an attempt is under way there is no belief."""
    resumed = script(JOB_H, [by_chance("a", RESUME, 4)])
    assert [step.planned_h for step in resumed.steps] == [JOB_H, 0, 0]
    repeated = script(JOB_H, [by_chance("a", REPEAT, 4, 7, inf)])
    assert [step.planned_h for step in repeated.steps] == [JOB_H, 0, JOB_H, 0, JOB_H]
