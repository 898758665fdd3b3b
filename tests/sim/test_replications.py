"""Many replications: the same bits over any number of workers, and what becomes of a run in which something dies."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from sim.pad import simulate
from sim.pool import MOST_TRIES, WorkerLostError
from sim.replications import MOST_IN_A_CHUNK, chunks_of, keep, play, replicate
from sim.scenario.scenario import Scenario
from tests.sim.reductions import Played, die, die_at_the_second, die_once, played, played_in_company, refuse_the_seventh
from tests.sim.uncertain_pad import uncertain_pad


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return uncertain_pad()


@pytest.mark.parametrize("n", [0, 1, 7, 8, 9, 100, 399, 401, 5000])
def test_chunks_hold_every_replication_once(n: int) -> None:
    """In order, none larger than allowed; chunk numbers count from zero."""
    chunks = chunks_of(n)
    assert [number for _, replications in chunks for number in replications] == list(range(n))
    assert [number for number, _ in chunks] == list(range(len(chunks)))
    assert all(1 <= len(replications) <= MOST_IN_A_CHUNK for _, replications in chunks)


@pytest.mark.parametrize(("n", "longer"), [(0, 1), (1, 2), (20, 21), (300, 1000), (399, 5000)])
def test_longer_run_has_the_chunks_of_a_shorter_one(n: int, longer: int) -> None:
    """All but the last, which may have been cut short: so a finished run can be gone on with."""
    done, more = chunks_of(n), chunks_of(longer)
    assert done[:-1] == more[: len(done[:-1])]
    assert not done or done[-1][1].start == more[len(done) - 1][1].start


@pytest.mark.parametrize("n", [0, 1, 5, 30])
def test_replications_are_single_replications_in_order(scenario: Scenario, n: int) -> None:
    """`replicate` adds nothing to what `simulate` gives for each number."""
    assert replicate(scenario, n, seed=4).results == [simulate(scenario, number, 4) for number in range(n)]


@pytest.mark.parametrize("n", [0, 1, 3, 61])
def test_workers_change_no_bit(scenario: Scenario, n: int) -> None:
    """Two workers give the logs of one process, in the same order, to the bit (invariant 6)."""
    alone, shared = replicate(scenario, n, 4, workers=1), replicate(scenario, n, 4, workers=2)
    assert shared == alone
    assert (shared.asked, shared.interrupted) == (n, False)


def test_work_is_shared_among_processes(scenario: Scenario, tmp_path: Path) -> None:
    """What two workers are asked for is reduced by two processes, neither of them this one."""
    found = replicate(scenario, 16, 4, 2, partial(played_in_company, tmp_path))
    processes = {each.process for each in found.results}
    assert len(processes) == 2
    assert os.getpid() not in processes


@pytest.mark.parametrize("workers", [1, 2])
def test_each_chunk_is_heard_of_once(scenario: Scenario, workers: int) -> None:
    """The callback gets every chunk, in any order, with the results that end up in the whole."""
    heard: dict[int, list[Played]] = {}

    def hear(number: int, results: list[Played]) -> None:
        assert number not in heard
        heard[number] = results

    results = replicate(scenario, 40, 4, workers, played, hear).results
    assert sorted(heard) == [number for number, _ in chunks_of(40)]
    assert [each for number in sorted(heard) for each in heard[number]] == results


@pytest.mark.parametrize("workers", [1, 2])
def test_faults_of_a_reduction_surface(scenario: Scenario, workers: int) -> None:
    """Nobody swallows what a reduction raises."""
    with pytest.raises(ArithmeticError, match="replication 7 cannot be reduced"):
        replicate(scenario, 30, 4, workers, refuse_the_seventh)


@pytest.mark.parametrize("workers", [1, 2])
def test_interrupt_while_a_chunk_is_heard_of_keeps_it(scenario: Scenario, workers: int) -> None:
    """Ctrl-C between two chunks: what is done by then comes back, and says that it is not all."""
    heard = []

    def stop_after_three(number: int, _: list[Played]) -> None:
        heard.append(number)
        if len(heard) == 3:
            raise KeyboardInterrupt

    found = replicate(scenario, 80, 4, workers, played, stop_after_three)
    expected = [number for chunk, part in chunks_of(80) if chunk in heard for number in part]
    assert [each.replication for each in found.results] == expected
    assert (found.asked, found.interrupted) == (80, True)


def without_processes(results: list[Played]) -> list[tuple[Any, ...]]:
    return [each[:3] for each in results]


def test_worker_that_dies_once_is_replaced(scenario: Scenario, tmp_path: Path) -> None:
    """What it was playing is played again: the result is complete and the same."""
    found = replicate(scenario, 40, 4, 2, dying_once(tmp_path, 13))
    assert [path.name for path in tmp_path.iterdir()] == ["died at 13"]
    assert without_processes(found.results) == without_processes(replicate(scenario, 40, 4, 1, played).results)
    assert not found.interrupted


def dying_once(marks: Path, *deadly: int) -> Callable[..., Played]:
    return partial(die_once, frozenset(deadly), marks)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("deadly", "named"),
    [
        (0, "replication 0 with seed 4;"),
        (25, "replication 25, one of replications 24 to 26 with seed 4;"),
    ],
)
def test_worker_that_always_dies_is_given_up(scenario: Scenario, deadly: int, named: str) -> None:
    """After so many tries the run ends, and names the one replication that cannot be played."""
    with pytest.raises(WorkerLostError, match=f"^workers died {MOST_TRIES} times over while playing {named}"):
        replicate(scenario, deadly + 3, 4, 2, partial(die, deadly))


@pytest.mark.slow
def test_chunk_that_is_deadly_as_a_whole_only(scenario: Scenario, tmp_path: Path) -> None:
    """Where no replication by itself ends its worker, as when memory runs out bit by bit, that is said."""
    with pytest.raises(WorkerLostError, match="replications 24 to 26 with seed 4, though none of them does it"):
        replicate(scenario, 27, 4, 2, partial(die_at_the_second, 25, tmp_path))


def test_deaths_of_different_workers_are_not_added_up(scenario: Scenario, tmp_path: Path) -> None:
    """Workers die as often as allowed, each time at other replications, of which none fails twice: all gets done."""
    deadly = tuple(range(5, 5 * MOST_TRIES + 1, 5))
    found = replicate(scenario, 40, 4, 2, dying_once(tmp_path, *deadly))
    assert len(found.results) == 40


def test_reduction_that_is_not_asked_for_keeps_the_log(scenario: Scenario) -> None:
    """Without a reduction the logs themselves come back."""
    log = simulate(scenario, 0, 4)
    assert keep(log) is log
    assert replicate(scenario, 1, 4).results == [log]


def test_several_plans_are_played_like_each_alone(scenario: Scenario) -> None:
    """Two plans over one pool: each has the logs that it has by itself, so they meet the same luck."""
    plans = {"one": scenario, "other": scenario.model_copy(update={"water": None})}
    found = {(name, number): logs for name, number, logs in play(plans, chunks_of(8), 5, 2, keep)}
    assert len(found) == 2 * len(chunks_of(8))
    for name, plan in plans.items():
        together = [log for number, _ in chunks_of(8) for log in found[name, number]]
        assert together == replicate(plan, 8, seed=5).results
