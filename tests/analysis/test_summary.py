"""From tables of replications to an answer: quantiles, counts, shares, sentences."""

from __future__ import annotations

from math import inf
from typing import Any

import pytest
from calendar_reader import events_of

from analysis.forecasting.answer import answer
from analysis.forecasting.exports import summary_of as summary_json
from analysis.forecasting.forecast import Forecast, representative, tables
from analysis.forecasting.summary import Summary, not_needed_text, summarise
from analysis.forecasting.terminal import pad_table
from analysis.handing_on.calendar_file import calendar_bytes
from analysis.measures import Measures, PadRow, UnitRow, VisitRow, WellRow
from sim.scenario.scenario import Scenario
from tests.pads import pad, units, well

HORIZON_H = 480.0
PROMISED_H = 30 + 2.5 / 60  # a run of 10 h, pumping for 20 h, two quick trips of the milling rig


def scenario(wells: int = 1, **more: Any) -> Scenario:
    """By averages the first well is on production at `PROMISED_H`, and each one 30 h after the one before it."""
    group = [well(f"W{k}", 1, "10 h", "20 h", toe=False) for k in range(wells)]
    fleet = {"name": "Fleet A", "rig_up": "0 h", "rig_down": "0 h", "arrives": "2027-03-01"}
    strategy = {"wells_in_rotation": 1, "between_groups": "0 h"}
    return pad(group, strategy, units=units(pumping_fleets=fleet), horizon=f"{HORIZON_H} h", **more)


def measured(replication: int, hours: list[float], unit_rows: list[tuple[str, str, float]] = ()) -> Measures:
    """A replication in which well k comes on production at `hours[k]`."""
    wells = [WellRow(replication, f"W{k}", 0.0, 10.0, hour, hour, hour, hour) for k, hour in enumerate(hours)]
    first, last = min(hours), max(hours)
    row = PadRow(replication, first, last, 10.0, last, first, 0, 1, 20.0, 8.0, 16.0)
    spent = [UnitRow(replication, "Fleet A", *each) for each in unit_rows]
    return Measures(row, wells, spent, [VisitRow(replication, "Fleet A", 0.0, last)], [], [], [], [])


def summary_of(results: list[Measures], wells: int = 1) -> Summary:
    return summarise(Forecast(scenario(wells), seed=0, asked=len(results), **tables(results)))


def last_well(hours: list[float]) -> Any:
    return summary_of([measured(k, [hour]) for k, hour in enumerate(hours)]).milestone("Every well on production")


def test_quantiles_are_observed_values() -> None:
    """Of 1, 2, ... 100 h the 10th, 50th and 90th, with the order statistics 5, 17, 40, 61, 84 and 96.

    Source of the ranks: scipy.stats.quantile_test for 100 values.
    """
    found = last_well([float(hour) for hour in range(1, 101)])
    assert [quantile.value for quantile in found.quantiles] == [10.0, 50.0, 90.0]
    assert [(quantile.low, quantile.high) for quantile in found.quantiles] == [(5, 17), (40, 61), (84, 96)]


def test_replications_later_than_averages() -> None:
    """What is later than averages promise counts, what is equal but for rounding does not."""
    found = last_well([29.0, PROMISED_H, PROMISED_H + 1e-9, 30.5, 31.0, inf])
    assert found.averages_h == pytest.approx(PROMISED_H)
    assert found.later_than_averages == 3
    assert found.replications == 6


def test_a_promise_beyond_the_horizon_is_neither_kept_nor_broken() -> None:
    """Of unfinished work nobody knows whether it is later; where all is finished, all is known again."""
    stated = scenario().model_copy(update={"horizon": 30.0})
    found = summarise(
        Forecast(stated, 0, 3, **tables([measured(k, [hour]) for k, hour in enumerate([29.0, inf, inf])]))
    )
    last = found.milestone("Every well on production")
    assert (last.later_than_averages, last.unfinished) == (None, 2)
    said = "A plan of averages promises 2 Mar, beyond the horizon: whether the last well is later is unknown in 2 of 3"
    assert f"{said} replications." in answer(found)
    assert list(pad_table(found).columns[-1].cells)[-1] == "2 Mar\nbeyond the horizon"
    assert summary_json(found)["pad"]["Every well on production"]["plan_of_averages"]["replications_later"] is None
    done = summarise(Forecast(stated, 0, 2, **tables([measured(k, [29.0]) for k in range(2)])))
    assert done.milestone("Every well on production").later_than_averages == 0


def test_a_unit_that_has_not_come_may_come_after_the_horizon() -> None:
    """Of ten replications three are finished without the rig and four unfinished: its dates are of seven."""
    came = [VisitRow(k, "Rig", 20.0 + k, 40.0 + k) for k in range(3)]
    results = [measured(k, [50.0 if k < 6 else inf]) for k in range(10)]
    results = [each._replace(visits=[*each.visits, *came[k : k + 1]]) for k, each in enumerate(results)]
    found = summary_of(results)
    arrives, leaves = found.visits["Rig"]
    assert (arrives.replications, arrives.unfinished, leaves.unfinished) == (7, 4, 4)
    assert [each.value for each in arrives.quantiles] == [20.0, inf, inf]
    assert found.visits["Fleet A"][0].replications == 10
    assert found.not_needed == {"Rig": 3}
    assert not_needed_text(found) == "Not needed, and left out of its dates: Rig in 3 of 10 replications."
    assert summary_json(found)["units"]["Rig"]["not_needed_in_replications"] == 3


def test_a_stay_that_goes_on_is_in_the_calendar_to_the_horizon() -> None:
    """Not half an hour; what leaves before is there until then."""
    visits = [VisitRow(0, "Rig", 20.0, inf), VisitRow(0, "Crew", 1.0, 9.0), VisitRow(0, "Spread", inf, inf)]
    found = summary_of([measured(0, [inf])._replace(visits=visits)])
    events = {event["SUMMARY"]: (event["DTSTART"], event["DTEND"]) for event in events_of(calendar_bytes(found))}
    assert events["Rig on location"] == ("20270301T200000", "20270321T000000")
    assert events["Crew on location"] == ("20270301T010000", "20270301T090000")
    assert "Spread on location" not in events


def test_unfinished_count_and_stay_in_the_quantiles() -> None:
    """Two of ten do not finish: P50 is a date, P90 and the mean are not."""
    found = last_well([*[float(hour) for hour in range(40, 48)], inf, inf])
    assert found.unfinished == 2
    assert [quantile.value for quantile in found.quantiles] == [40.0, 44.0, inf]
    assert found.mean.mean == inf


def test_pad_takes_first_and_last_of_the_wells() -> None:
    """The first date is that of the first well, the last that of the last; each well has its own promise."""
    found = summary_of([measured(k, [31.0, 61.0, 95.0]) for k in range(8)], wells=3)
    assert found.milestone("First production").averages_h == pytest.approx(PROMISED_H)
    assert found.milestone("Every well on production").averages_h == pytest.approx(PROMISED_H + 60)
    assert found.milestone("First production").quantiles[1].value == 31.0
    assert found.milestone("Every well on production").quantiles[1].value == 95.0
    own = {name: milestones[-1].averages_h for name, milestones in found.wells.items()}
    assert own == pytest.approx({"W0": PROMISED_H, "W1": PROMISED_H + 30, "W2": PROMISED_H + 60})


def test_shares_of_time_are_means_over_replications() -> None:
    """The fleet works 15 of 20 h, then 30 of 40 h, half of the rest being water in one and none in the other."""
    spent: list[list[tuple[str, str, float]]] = [
        [("work", "pump stage", 10.0), ("work", "swap", 5.0), ("wait", "water", 2.5), ("wait", "wireline", 2.5)],
        [("work", "pump stage", 30.0), ("wait", "wireline", 10.0)],
    ]
    found = summary_of([measured(k, [50.0], rows) for k, rows in enumerate(spent)])
    shares = {(share.kind, share.reason): share.share.mean for share in found.units["Fleet A"]}
    assert shares == pytest.approx(
        {
            ("work", "pump stage"): 0.625,
            ("work", "swap"): 0.125,
            ("wait", "water"): 0.0625,
            ("wait", "wireline"): 0.1875,
        }
    )
    assert found.works["Fleet A"].mean == pytest.approx(0.75)
    assert found.works["Fleet A"].high == pytest.approx(0.75)  # it is the same in both: no spread
    assert [share.reason for share in found.units["Fleet A"]][:2] == ["pump stage", "wireline"]  # largest first


def test_representative_replication_is_the_middle_one() -> None:
    """The lower middle by the date of the last well; those that never finish are last."""
    results = [measured(k, [hour]) for k, hour in enumerate([70.0, inf, 50.0, 60.0])]
    assert representative(summary_of(results).forecast) == 3


def test_answer_of_one_well() -> None:
    """One date, not a first and a last one."""
    first, averages, fleet = answer(summary_of([measured(k, [50.0], [("work", "pump stage", 20.0)]) for k in range(5)]))
    assert first == (
        "Untitled pad, one well at a time: on production by 3 Mar (P50), by 3 Mar with 90 % confidence (P90)."
    )
    assert averages == "A plan of averages promises 2 Mar; the last well is later than that in 5 of 5 replications."
    assert fleet == "Fleet A pumps 100 % of its time on location and never waits."


@pytest.mark.parametrize(("wells", "said"), [(2, "; both wells by "), (3, "; all three wells by ")])
def test_answer_of_several_wells(wells: int, said: str) -> None:
    """First production and the last well, with what the fleet waits for."""
    spent = [("work", "pump stage", 60.0), ("wait", "water", 30.0), ("wait", "wireline", 10.0)]
    sentences = answer(summary_of([measured(k, [50.0 + 24 * w for w in range(wells)], spent) for k in range(5)], wells))
    assert "first production by 3 Mar (P50)" in sentences[0]
    assert said in sentences[0]
    assert (
        sentences[-1]
        == "Fleet A pumps 60 % of its time on location; it waits most for water (30 %), then wireline (10 %)."
    )


def test_answer_counts_the_troubles_of_a_fleet() -> None:
    """Screen-outs and valve trouble are no waits, and are not passed over for that."""
    spent = [
        ("work", "pump stage", 60.0),
        ("wait", "water", 30.0),
        ("trouble", "screen-out", 6.0),
        ("trouble", "valve trouble", 4.0),
    ]
    sentences = answer(summary_of([measured(k, [50.0], spent) for k in range(5)]))
    assert sentences[-1].endswith("it waits most for water (30 %); troubles of its own take 10 %.")


@pytest.mark.parametrize(
    ("unfinished", "said"),
    [
        (0, "by 3 Mar (P50), by 3 Mar with 90 % confidence (P90)."),
        (3, "by 3 Mar (P50), with 90 % confidence only beyond the horizon."),
        (6, "on production more likely than not beyond the horizon."),
    ],
)
def test_answer_says_what_the_horizon_hides(unfinished: int, said: str) -> None:
    """Dates beyond the horizon are named as such, and the replications that did not get there are counted."""
    hours = [50.0] * (10 - unfinished) + [inf] * unfinished
    sentences = answer(summary_of([measured(k, [hour]) for k, hour in enumerate(hours)]))
    assert sentences[0].endswith(said)
    counted = (
        f"In {unfinished} of 10 replications not every well is on production by the horizon, 21 Mar; such dates count "
        "as beyond the horizon."
    )
    assert (counted in sentences) == (unfinished > 0)
