"""From rows to jobs: simulate, write, read, and the jobs are the same."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.field.attempts import attempts_of
from analysis.field.jobs import intervals_of, jobs_of
from analysis.field.reading import read_log
from analysis.measures import well_rows
from sim.log import Log
from sim.pad import simulate
from sim.scenario import load
from sim.standing import Job
from tests.fielddata.logs import SIX_WELLS, read, small_pad, written


def jobs_in(log: Log) -> list[Job]:
    """Jobs of a simulated log, put together row by row."""
    found: list[list] = []
    last_of: dict[tuple, list] = {}
    previous: dict[str, tuple] = {}
    for row in sorted(log.intervals, key=lambda row: row.start_h):
        what = (row.unit, row.activity, row.well, row.stage)
        if row.activity in {"arrive", "stand by"}:
            continue
        if what not in last_of or (not row.well and previous.get(row.unit) != what):
            last_of[what] = [row.start_h, row.end_h, 0.0, [], what]
            found.append(last_of[what])
        previous[row.unit] = what
        job = last_of[what]
        job[1] = max(job[1], row.end_h)
        if row.cause:
            job[3].append((row.cause, row.end_h - row.start_h))
        else:
            job[2] += row.end_h - row.start_h
    return [Job(*what, start, end, worked, tuple(lost)) for start, end, worked, lost, what in found]


@settings(derandomize=True, max_examples=4, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([None, "simultaneous", "sequential"]))
def test_simulate_write_read_gives_the_same_jobs(seed: int, alternative: str | None) -> None:
    scenario = load(SIX_WELLS, alternative)
    log = simulate(scenario, 0, seed)
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.csv"
        file.write_text(written(scenario, log), encoding="utf-8")
        field = read_log(file, scenario, strict=True)
    expected = {(*job[:4], round(job.start_h, 4)): job for job in jobs_in(log)}
    found = {(*job[:4], round(job.start_h, 4)): job for job in jobs_of(field)}
    assert found.keys() == expected.keys()
    for key, job in found.items():
        assert (job.end_h, job.worked_h) == pytest.approx((expected[key].end_h, expected[key].worked_h), abs=1e-5)
        assert [cause for cause, _ in job.lost] == [cause for cause, _ in expected[key].lost]
        assert [h for _, h in job.lost] == pytest.approx([h for _, h in expected[key].lost], abs=1e-5)
    for mine, theirs in zip(well_rows(intervals_of(field, scenario)), well_rows(log), strict=True):
        assert mine[2:] == pytest.approx(theirs[2:], abs=1e-5)


def test_a_job_that_goes_on_has_no_end(tmp_path: Path) -> None:
    rows = [
        "2027-03-01 06:00,2027-03-01 08:00,Fleet A,pump stage,Curlew 1,1,,",
        "2027-03-01 08:00,2027-03-01 11:00,Fleet A,pump stage,Curlew 1,1,screen-out,",
        "2027-03-01 11:00,,Fleet A,pump stage,Curlew 1,1,,",
        "2027-03-01 06:00,2027-03-01 12:00,Wireline,plug and perforate,Curlew 2,1,,",
    ]
    log = read(tmp_path, *rows)
    job = next(job for job in jobs_of(log) if job.unit == "Fleet A")
    assert job == Job("Fleet A", "pump stage", "Curlew 1", 1, 0.0, None, 3.0, (("screen-out", 3.0),))
    assert well_rows(intervals_of(log, small_pad()))[0].fracturing_end_h == float("inf")


def test_a_repeated_job_counts_its_last_attempt(tmp_path: Path) -> None:
    """A misrun: the run is begun again, so only what follows it says how long a run takes; two tries were made."""
    rows = [
        "2027-03-01 06:00,2027-03-01 07:00,Wireline,plug and perforate,Curlew 1,1,,",
        "2027-03-01 07:00,2027-03-01 07:30,Wireline,plug and perforate,Curlew 1,1,misrun,",
        "2027-03-01 07:30,2027-03-01 08:00,Wireline,plug and perforate,Curlew 1,1,weather,",
        "2027-03-01 08:00,2027-03-01 08:30,Wireline,plug and perforate,Curlew 1,1,misrun,",
        "2027-03-01 08:30,2027-03-01 10:45,Wireline,plug and perforate,Curlew 1,1,,",
    ]
    jobs = attempts_of(read(tmp_path, *rows), small_pad())
    assert jobs[["hours", "worked_h", "tries", "ended"]].iloc[0].tolist() == [2.25, 3.25, 2, True]


def test_a_job_of_which_a_row_was_left_out_tells_nothing(tmp_path: Path) -> None:
    rows = [
        "2027-03-01 06:00,2027-03-01 07:00,Preparation crew,nipple up,Curlew 1,,,",
        "2027-03-01 06:30,2027-03-01 07:30,Preparation crew,nipple up,Curlew 1,,,",
        "2027-03-01 07:30,2027-03-01 08:30,Preparation crew,pressure test,Curlew 1,,,",
    ]
    jobs = attempts_of(read(tmp_path, *rows), small_pad())
    assert jobs["activity"].tolist() == ["pressure test"]
