"""When a truck arrives: roads that close and drivers who must rest, worked out by hand, and in general."""

from __future__ import annotations

from math import inf

from hypothesis import given, settings
from hypothesis import strategies as st

from sim.calendars import AROUND_THE_CLOCK, Calendar
from sim.scenario.proppant import HoursOfService
from sim.supplies.driving import Driver, Loaders

USUAL = HoursOfService()
DAYLIGHT = Calendar([(24.0 * day + 6, 24.0 * day + 20) for day in range(400)])


def test_without_limits_only_the_road_counts() -> None:
    """Eight hours from 15:00, with a road from 06:00 to 20:00: five hours, then three of the next morning."""
    assert Driver(None).arrives_h(DAYLIGHT, 15.0, 8.0) == 33.0
    assert Driver(None).arrives_h(AROUND_THE_CLOCK, 15.0, 30.0) == 45.0


def test_eleven_hours_at_the_wheel_then_ten_of_rest() -> None:
    """Thirty hours of driving in one go: 11, rest, 11, rest, 8."""
    assert Driver(USUAL).arrives_h(AROUND_THE_CLOCK, 0.0, 30.0) == 50.0


def test_short_trips_add_up() -> None:
    """Trips of four hours without a pause: the third is cut at the eleventh hour, and ends after a rest."""
    driver, at_h = Driver(USUAL), 0.0
    ends = []
    for _ in range(3):
        at_h = driver.arrives_h(AROUND_THE_CLOCK, at_h, 4.0)
        ends.append(at_h)
    assert ends == [4.0, 8.0, 22.0]


def test_nobody_drives_beyond_the_fourteenth_hour_on_duty() -> None:
    """Two hours of driving, nine of waiting at the pad: three are left of the duty; a rest, then one hour more."""
    driver = Driver(USUAL)
    assert driver.arrives_h(AROUND_THE_CLOCK, 0.0, 2.0) == 2.0
    assert driver.arrives_h(AROUND_THE_CLOCK, 11.0, 4.0) == 25.0


def test_a_long_wait_is_a_rest() -> None:
    """Ten hours of waiting for room in the storage, and the driver is as fresh as in the morning."""
    driver = Driver(USUAL)
    driver.arrives_h(AROUND_THE_CLOCK, 0.0, 10.0)
    assert driver.arrives_h(AROUND_THE_CLOCK, 20.0, 11.0) == 31.0


def test_a_night_on_a_closed_road_is_a_rest() -> None:
    """Nine hours to 20:00, closed for ten; eleven more from 06:00 on."""
    assert Driver(USUAL).arrives_h(DAYLIGHT, 11.0, 20.0) == 24 + 17.0


def test_a_rest_and_a_closed_road_go_on_side_by_side() -> None:
    """Out of hours at 17:00, the road closes at 20:00: the rest ends at 03:00, and the truck goes on at 06:00."""
    assert Driver(USUAL).arrives_h(DAYLIGHT, 6.0, 12.0) == 31.0


def test_no_road_no_arrival() -> None:
    """A road that never opens again."""
    for driver in (Driver(None), Driver(USUAL)):
        assert driver.arrives_h(Calendar([(0.0, 5.0)]), 3.0, 3.0) == inf


def by_the_minute(trips: list[int], waits: list[int], limits: HoursOfService, day: tuple[int, int]) -> list[int]:
    """The same rules minute by minute: when each trip ends. The road is open so many minutes of each day."""
    driving, duty, rest = (round(60 * hours) for hours in (limits.driving, limits.duty, limits.rest))
    now, still, driven, since = 0, rest, 0, 0
    ends = []
    for trip, wait in zip(trips, waits, strict=True):
        left = trip
        while left:
            is_open = day[0] <= now % 1440 < day[1]
            if is_open and still >= rest:
                driven, since = 0, now
            if is_open and driven < driving and now - since < duty:
                driven, left, still = driven + 1, left - 1, 0
            else:
                still += 1
            now += 1
        ends.append(now)
        now, still = now + wait, still + wait
    return ends


@settings(derandomize=True, deadline=None, max_examples=150)
@given(
    st.lists(st.tuples(st.integers(1, 900), st.integers(0, 900)), min_size=1, max_size=10),
    st.integers(1, 13),
    st.integers(0, 6),
    st.sampled_from([(0, 1440), (360, 1200), (0, 300)]),
)
def test_arrivals_are_those_of_a_minute_by_minute_account(
    rounds: list[tuple[int, int]], driving: int, more: int, day: tuple[int, int]
) -> None:
    """Whatever the trips, the waits between them, the limits and the road."""
    limits = HoursOfService(driving=f"{driving} h", duty=f"{driving + more} h")  # type: ignore[arg-type] # as stated
    windows = (
        [(0.0, inf)] if day == (0, 1440) else [(24.0 * k + day[0] / 60, 24.0 * k + day[1] / 60) for k in range(400)]
    )
    driver, road, at_h = Driver(limits), Calendar(windows), 0.0
    trips, waits = [trip for trip, _ in rounds], [wait for _, wait in rounds]
    for trip, wait, end_min in zip(trips, waits, by_the_minute(trips, waits, limits, day), strict=True):
        end_h = driver.arrives_h(road, at_h, trip / 60)
        assert abs(end_h - end_min / 60) < 1e-6
        at_h = end_min / 60 + wait / 60


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.integers(1, 4), st.lists(st.tuples(st.floats(0, 3), st.floats(0.01, 5)), min_size=1, max_size=30))
def test_loaders_serve_in_order_of_coming(count: int, trucks: list[tuple[float, float]]) -> None:
    """Never more than so many at a time, nobody before an earlier one, and nobody waits while a loader is free."""
    loaders, now, spans = Loaders(count), 0.0, list[tuple[float, float, float]]()
    for gap, hours in trucks:
        now += gap
        begins = loaders.begin_h(now, hours)
        spans.append((now, begins, begins + hours))
    for number, (came, begins, _) in enumerate(spans):
        at_once = [end for _, begin, end in spans[:number] if begin <= begins < end]
        assert len(at_once) < count
        if begins > came:
            assert begins in [end for _, _, end in spans[:number]]
        assert begins >= max([begin for _, begin, _ in spans[:number]], default=0.0)
