"""Random streams: known answers of the generator, and luck that depends on names alone."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from numpy.random import Generator, Philox, SeedSequence
from scipy import stats

from sim import activities
from sim.chance.luck import Luck, drawn
from sim.chance.streams import Streams, key
from sim.log import Log
from sim.pad import simulate
from sim.scenario.shapes import Exponential
from tests.pads import minutes, pad, well
from tests.theory.pumping import work

ONES = 2**64 - 1


@pytest.mark.parametrize(
    ("half_key", "counter", "words"),
    [
        (0, [ONES] * 4, "16554d9eca36314c db20fe9d672d0fdc d7e772cee186176b 7e68b68aec7ba23b"),
        (ONES, [ONES - 1, *[ONES] * 3], "87b092c3013fe90b 438c3c67be8d0224 9cc7d7c69cd777b6 a09caebf594f0ba0"),
    ],
)
def test_generator_gives_the_known_answers(half_key: int, counter: list[int], words: str) -> None:
    """Philox 4x64-10 as published with Random123 (its kat_vectors); numpy counts before it draws (G1, G2)."""
    bits = Philox(key=np.array([half_key] * 2, dtype=np.uint64), counter=np.array(counter, dtype=np.uint64))
    assert [f"{word:016x}" for word in bits.random_raw(4)] == words.split()


def test_seed_sequences_spawn_by_number() -> None:
    """A child is known by its number alone, however many there are (G4; numpy documentation and numpy 2.3)."""
    parent = SeedSequence(12345)
    assert parent.generate_state(4).tolist() == [2688385916, 3048105090, 4196366895, 3152189807]
    children = parent.spawn(3)
    assert children[2].generate_state(2).tolist() == [642571064, 3843934530]
    assert children[2].generate_state(2).tolist() == SeedSequence(12345, spawn_key=(2,)).generate_state(2).tolist()
    more = SeedSequence(12345).spawn(10)
    assert [child.spawn_key for child in children] == [child.spawn_key for child in more[:3]]


NAMES = [("Heron 1", "pump stage"), ("Heron 2", "pump stage"), ("Heron 1", "swap"), ("Fleet", "rig up")]


def fresh(entity: str, purpose: str, seed: int = 7, replication: int = 3) -> Generator:
    return Generator(Philox(key=key(seed, replication, entity, purpose)))


@pytest.mark.parametrize("name", NAMES)
def test_a_stream_is_a_fresh_philox_under_its_key(name: tuple[str, str]) -> None:
    """Bit for bit, whatever was drawn before and however much of it, also where half a word was left over."""
    streams = Streams(7, 3)
    other = streams.at("somebody", "else")
    other.standard_normal(17)
    other.integers(0, 2**31, 3, dtype=np.int32)
    assert streams.at(*name).random(50).tolist() == fresh(*name).random(50).tolist()
    streams.at("somebody", "else").integers(0, 2**31, 1, dtype=np.int32)
    again = streams.at(*name).integers(0, 2**31, 7, dtype=np.int32)
    assert again.tolist() == fresh(*name).integers(0, 2**31, 7, dtype=np.int32).tolist()


def test_order_of_asking_moves_nothing() -> None:
    """Asked in any order, once or again, each stream gives the same (G6)."""
    forward, backward = Streams(1, 2), Streams(1, 2)
    first = {name: forward.at(*name).exponential(size=20).tolist() for name in NAMES}
    second = {name: backward.at(*name).exponential(size=20).tolist() for name in reversed(NAMES)}
    assert first == second
    assert forward.at(*NAMES[0]).exponential(size=20).tolist() == first[NAMES[0]]


def test_seed_and_replication_matter() -> None:
    """Another seed or another replication is other luck, and the two are not exchanged for one another."""
    keys = {key(seed, replication, *NAMES[0]).tobytes() for seed in range(30) for replication in range(30)}
    assert len(keys) == 900
    assert key(1, 12, "a", "b").tobytes() != key(11, 2, "a", "b").tobytes()
    assert key(1, 1, "a b", "c").tobytes() != key(1, 1, "a", "b c").tobytes()


def test_names_do_not_collide() -> None:
    """A hundred thousand names, a hundred thousand keys: expected collisions 1.5e-29."""
    keys = {key(0, n % 50, f"well {n // 500}", f"purpose {n // 50 % 10}").tobytes() for n in range(100_000)}
    assert len(keys) == 100_000


def test_streams_of_like_names_are_not_alike() -> None:
    """No two of 200 neighbouring names are correlated beyond what chance does once in ten thousand times.

    And the first numbers of ten thousand streams are themselves uniform (Kolmogorov and Smirnov).
    """
    streams, n = Streams(0, 0), 2000
    draws = np.array([streams.at(f"well {k}", "pump stage").random(n) for k in range(200)])
    between = np.corrcoef(draws)[np.triu_indices(200, 1)]
    bound = stats.norm.isf(1e-4 / (2 * between.size)) / np.sqrt(n)
    assert np.abs(between).max() < bound
    by_one = [np.corrcoef(one[1:], two[:-1])[0, 1] for one, two in pairwise(draws)]
    assert np.abs(by_one).max() < bound
    firsts = [streams.at(f"well {k}", "swap").random() for k in range(10_000)]
    assert stats.kstest(firsts, "uniform").pvalue > 1e-4


def test_luck_of_a_well_does_not_depend_on_who_else_is_there() -> None:
    """Durations of one well are bit-equal whether or not others were asked for first (G6)."""
    alone, in_company = Luck(drawn(5, 1)), Luck(drawn(5, 1))
    for number in range(9):
        in_company.many(f"w{number}", activities.PUMP_STAGE, Exponential(2.0), 40)
    expected = alone.many("w4", activities.PUMP_STAGE, Exponential(2.0), 40)
    assert in_company.many("w4", activities.PUMP_STAGE, Exponential(2.0), 40).tolist() == expected.tolist()
    assert alone.many("w5", activities.PUMP_STAGE, Exponential(2.0), 40).tolist() != expected.tolist()


def stage_hours(log: Log, activity: str, names: set[str]) -> dict[tuple[str, int], float]:
    """Hours of each stage; rounded to what remains of them after they were added to the hour of the start."""
    rows = [row for row in work(log, activity) if row.well in names]
    return {(row.well, row.stage): row.end_h - row.start_h for row in rows}


@pytest.mark.parametrize("wells_in_rotation", [1, 2, 3])
def test_on_the_pad_every_stage_meets_the_same_luck(wells_in_rotation: int) -> None:
    """Under any strategy and with another well on the pad, each stage takes as long as before (G6)."""
    random_min = {"exponential": minutes(120)}
    wells = [well(f"w{k}", 15, random_min, random_min, toe=False) for k in range(3)]
    base = simulate(pad(wells[:2], {"wells_in_rotation": 1}), 4, seed=12)
    other = simulate(pad([wells[2], *wells[:2]], {"wells_in_rotation": wells_in_rotation}), 4, seed=12)
    for activity in (activities.PUMP_STAGE, activities.PLUG_AND_PERFORATE):
        expected = stage_hours(base, activity, {"w0", "w1"})
        assert len(expected) == 30
        assert stage_hours(other, activity, {"w0", "w1"}) == pytest.approx(expected, rel=0, abs=1e-9)


def test_same_replication_is_the_same_log() -> None:
    """Seed and replication fix the log to the bit; another replication differs."""
    random_min = {"exponential": minutes(120)}
    scenario = pad([well(f"w{k}", 10, random_min, random_min, toe=True) for k in range(2)], {})
    assert simulate(scenario, 3, seed=5).intervals == simulate(scenario, 3, seed=5).intervals
    assert simulate(scenario, 3, seed=5).intervals != simulate(scenario, 4, seed=5).intervals
