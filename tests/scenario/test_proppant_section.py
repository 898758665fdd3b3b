"""The proppant section: what is refused, at which line and in which words; what is just enough is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import load
from tests.scenario.files import BASE, said

TRUCKS = "trucks: {count: 12, drive: 75 min}"


def stated(*lines: str) -> str:
    """The pad with a proppant section of these lines, from line 32 on; its stages take 440,000 lb each."""
    return BASE.replace("strategy:\n", "proppant:\n" + "".join(f"  {line}\n" for line in lines) + "strategy:\n")


FIRST = BASE[: BASE.index("strategy:\n")].count("\n") + 1


def placed(line: int, text: str) -> str:
    return f"pad.yaml:{FIRST + line}: proppant{text}"


@pytest.mark.parametrize(
    ("lines", "line", "message"),
    [
        (
            ["storage: {capacity: 2 million lb}"],
            0,
            ": states neither a rate nor trucks; expected one of the two",
        ),
        (
            ["storage: {capacity: 2 million lb}", "rate: 4 million lb/day", TRUCKS],
            0,
            ": states both a rate and trucks; expected one of the two",
        ),
        (
            ["storage: {capacity: 200 klb}", "rate: 4 million lb/day"],
            1,
            ".storage.capacity: less than one stage of Heron 2 takes; expected at least 440,000 lb, or the start_rule"
            " 'as it comes' (got '200 klb')",
        ),
        (
            ["storage: {capacity: 485 klb}", TRUCKS],
            1,
            ".storage.capacity: less than one stage of Heron 2 takes and one load more (a truck unloads only where all"
            " of its load has room); expected at least 486,000 lb, or the start_rule 'as it comes' (got '485 klb')",
        ),
        (
            ["storage: {capacity: 30 klb}", "start_rule: as it comes", TRUCKS],
            3,
            ".trucks: more than the storage holds, 30,000 lb: a truck unloads only where all of its load has room;"
            " expected less, or more capacity",
        ),
        (
            ["storage: {capacity: 1 million lb}", "trucks: {count: 0, drive: 75 min}"],
            2,
            ".trucks.count: expected 1 or more (got 0)",
        ),
        (
            ["storage: {capacity: 1 million lb}", "trucks: {count: 9}"],
            2,
            ".trucks: missing: drive is required (one way, such as {lognormal: {mean: 75 min, cv: 0.2}})",
        ),
        (
            [
                "storage: {capacity: 1 million lb}",
                "trucks: {count: 9, drive: 1 h, closed: {from: 2027-01-01, until: 2029-01-01}}",
            ],
            2,
            ".trucks.closed: the road is never open between the first delivery and the horizon; expected a shorter"
            " closure",
        ),
        (
            [
                "storage: {capacity: 1 million lb}",
                "trucks: {count: 9, drive: 1 h, closed: {from: 2027-04-02, until: 2027-04-01}}",
            ],
            2,
            ".trucks.closed: over before it begins; expected a later `until` (got {from: 2027-04-02, until:"
            " 2027-04-01})",
        ),
        (
            ["storage: {capacity: 1 million lb, fill_to: 2 million lb}", TRUCKS],
            1,
            ".storage.fill_to: more than the storage holds; expected at most its capacity, 1,000,000 lb"
            " (got '2 million lb')",
        ),
        (
            ["storage: {capacity: 1 million lb}", TRUCKS, "starts: 2027-02-01"],
            3,
            ".starts: before the start, 2027-03-01 06:00; expected a later date, or `on_hand` in storage"
            " (got '2027-02-01')",
        ),
        (
            ["storage: {capacity: 1 million lb}", "trucks: {count: 9, drive: 1 h, unload: 0 min}"],
            2,
            ".trucks.unload: takes no time; expected a time above zero (got '0 min')",
        ),
        (
            [
                "storage: {capacity: 1 million lb}",
                "trucks: {count: 9, drive: 1 h, hours_of_service: {driving: 15 h}}",
            ],
            2,
            ".trucks.hours_of_service.driving: more than the 14 h on duty; expected at most that (got '15 h')",
        ),
        (
            ["storage: {capacity: 1000 bbl}", TRUCKS],
            1,
            ".storage.capacity: 'bbl' is a volume; expected a mass such as '440 klb' or '200 t' (got '1000 bbl')",
        ),
        (
            ["storage: {capacity: 1 million lb}", "rate: 4 million lb"],
            2,
            ".rate: 'lb' is a mass; expected a mass per time such as '4 million lb/day', '4000 klb/day' or"
            " '1800 t/day' (got '4 million lb')",
        ),
    ],
)
def test_what_cannot_be_is_one_plain_line(tmp_path: Path, lines: list[str], line: int, message: str) -> None:
    """Each at the place to change it."""
    assert said(tmp_path, stated(*lines)) == [placed(line, message)]


def test_proppant_that_no_stage_takes(tmp_path: Path) -> None:
    """A section that would count for nothing is not passed over in silence."""
    text = stated("storage: {capacity: 1 million lb}", TRUCKS).replace(", proppant: 440 klb", "")
    message = ": no stage takes any; expected proppant in the stage_design of a well, or no such section"
    assert said(tmp_path, text) == [placed(0, message)]


@pytest.mark.parametrize(
    "lines",
    [
        ["storage: {capacity: 440 klb}", "rate: 1 lb/day"],
        ["storage: {capacity: 486 klb}", TRUCKS],
        ["storage: {capacity: 46 klb}", "start_rule: as it comes", TRUCKS],
        [
            "storage: {capacity: 1 million lb}",
            "trucks: {count: 1, drive: 1 h, hours: 05:00-21:00}",
            "starts: 2027-03-09",
        ],
        [
            "storage: {capacity: 1 million lb}",
            "trucks: {count: 1, drive: 1 h, closed: [{from: 2027-01-01, until: 2027-05-01}]}",
        ],
    ],
)
def test_what_is_just_enough_is_accepted(tmp_path: Path, lines: list[str]) -> None:
    """The edge of what can be done is not beyond it."""
    file = tmp_path / "pad.yaml"
    file.write_text(stated(*lines), encoding="utf-8")
    assert load(file).proppant is not None


def test_masses_and_rates_in_other_units(tmp_path: Path) -> None:
    """1 t = 2204.6226 lb; 24 t/day is a tonne an hour."""
    file = tmp_path / "pad.yaml"
    file.write_text(stated("storage: {capacity: 500 t}", "rate: 24 t/day"), encoding="utf-8")
    proppant = load(file).proppant
    assert proppant is not None
    assert proppant.storage.capacity == pytest.approx(500 * 2204.6226218)
    assert proppant.rate == pytest.approx(2204.6226218)


def test_storage_fills_with_whole_loads(tmp_path: Path) -> None:
    """Of a million pounds, 21 loads of 46,000 and 20,000 on hand: 986,000 lb; or as far as is asked for."""
    storage = "storage: {capacity: 1 million lb, on_hand: 20 klb"
    for more, expected in (("}", 986_000.0), (", fill_to: 500 klb}", 500_000.0)):
        file = tmp_path / "pad.yaml"
        file.write_text(stated(storage + more, TRUCKS), encoding="utf-8")
        proppant = load(file).proppant
        assert proppant is not None
        assert proppant.reachable_lb == expected
