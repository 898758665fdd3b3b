"""What the page plays beside runs: where the days of a run go, and the plan against its alternatives."""

from __future__ import annotations

import json
import os
from functools import partial
from io import StringIO
from pathlib import Path
from typing import Any

from analysis.page.folder import Folder, NotAllowedError
from analysis.page.jobs import DONE, FAILED, STOPPED, Job, Jobs
from analysis.page.plan import tables_stamp
from analysis.page.results import curve
from analysis.page.runs import Runs
from analysis.runs.whole_files import write_whole

REPORT = "report.html"
MOST_CHAINS = 200  # replications whose chain is followed: enough for tenths of a day


class Studies:
    """Answers of studies, each kept beside the runs once it is there."""

    def __init__(self, folder: Folder, runs: Runs, jobs: Jobs) -> None:
        self.folder, self.runs, self.jobs = folder, runs, jobs

    def where(self, run: str) -> dict[str, Any]:
        """Where the days of a run go, or how far the answer is; asking puts it in line."""
        manifest = self.runs.manifest(run)
        if not manifest.get("replications_done"):
            raise NotAllowedError("this run has no result yet")
        n = min(MOST_CHAINS, manifest["replications_done"])
        path = self.runs.beside(run, "where.json")
        return self._answer(path, f"where {run}", n, partial(_follow, manifest, n, path))

    def compare(self, plan: str, text: str, n: int, chosen: Any = None) -> dict[str, Any]:
        """The plan against the chosen of its alternatives, or all, under the same luck; or how far the answer is."""
        import hashlib

        if not 20 <= n <= 5_000:
            raise NotAllowedError("replications: expected a whole number from 20 to 5,000")
        if chosen is not None and not (isinstance(chosen, list) and all(isinstance(each, str) for each in chosen)):
            raise NotAllowedError("alternatives: expected a list of names")
        file = self.folder.there(plan)
        mark = hashlib.sha256(f"{n}\n{chosen}\n{tables_stamp(file.parent)}\n{text}".encode()).hexdigest()[:12]
        path = self.folder.runs / f"{file.stem}.{mark}.compare.json"
        return self._answer(path, f"compare {mark}", n, partial(_set_side_by_side, file, text, n, chosen, path))

    def report(self, run: str) -> dict[str, Any]:
        """The report of a run as one file to hand on, or how far it is."""
        directory, manifest = self.runs.directory(run), self.runs.manifest(run)
        if not manifest.get("replications_done"):
            raise NotAllowedError("this run has no result yet")
        if (directory / REPORT).is_file():
            return {"state": DONE, "answer": REPORT}
        return self._told(f"report {run}", 1, partial(_report, directory))

    def cancel(self, asked: Any) -> dict[str, Any]:
        """A study is stopped, by the key that it was told with."""
        key = asked.get("key") if isinstance(asked, dict) else None
        if not isinstance(key, str) or key.split(" ")[0] not in ("where", "compare", "report"):
            raise NotAllowedError("expected the key of a study")
        self.jobs.cancel(key)
        return {}

    def _answer(self, path: Path, key: str, n: int, work: Any) -> dict[str, Any]:
        if path.is_file():
            return {"state": DONE, "answer": json.loads(path.read_bytes())}
        return self._told(key, n, work)

    def _told(self, key: str, n: int, work: Any) -> dict[str, Any]:
        """How far a study is, which is put in line unless it is there already."""
        job = self.jobs.get(key)
        if job is None or job.state == DONE:
            job = Job(key, key, n, work)
            self.jobs.add(job)
        told = {"state": job.state, "done": job.done, "asked": job.asked, "message": job.message, "key": key,
                "before": self.jobs.before(key)}  # fmt: skip
        if job.state in {FAILED, STOPPED}:
            job.state = DONE  # told once; asking again tries again
        return told


def _workers() -> int:
    return max(2, os.cpu_count() or 1)


def _follow(manifest: dict[str, Any], n: int, path: Path, job: Job) -> None:
    from analysis.chains.chain import chain_to
    from analysis.chains.chain_answer import chain_answer, days_said, spread_of
    from analysis.chains.chain_summary import where_days_go
    from analysis.goals import ALL_ON_PRODUCTION, goal_of
    from sim.replications import replicate
    from sim.scenario import load_stated

    scenario = load_stated(manifest["scenario"])
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    reduce = partial(chain_to, goal)
    chains = replicate(
        scenario, n, manifest["seed"], _workers(), reduce, lambda _, found: job.heard(len(found))
    ).results
    if len(chains) < n:
        return
    where = where_days_go(scenario, goal, manifest["seed"], n, chains)
    kinds = [
        {"kind": kind, "name": part.name, "days": days_said(part.shown), "spread": spread_of(part), "mean": part.shown}
        for kind, parts in where.kinds.items()
        for part in parts
    ]
    write_whole(path, json.dumps({"sentences": chain_answer(where), "replications": n, "parts": kinds}).encode())


def _report(directory: Path, job: Job) -> None:
    from rich.console import Console

    from analysis.report.making import ReportOrder, make_report

    def watch(asked: int) -> Any:
        job.asked = asked
        return job.heard

    order = ReportOrder(directory, None, _workers(), alternatives=True, overwrite=True)
    make_report(order, Console(file=StringIO(), width=130), watch)


def _set_side_by_side(file: Path, text: str, n: int, chosen: list[str] | None, path: Path, job: Job) -> None:
    from analysis.asked import NotUnderstoodError
    from analysis.comparing.comparison import compare
    from analysis.comparing.comparison_answer import answer
    from analysis.comparing.comparison_tables import pair_rows, plan_rows
    from analysis.comparing.plans import BASE
    from analysis.comparing.verdict import judge
    from analysis.pad_measures import LAST_WELL
    from sim.scenario import load

    base = load(file, text=text, confined=True)
    if not base.alternatives or not set(chosen or base.alternatives) <= set(base.alternatives):
        raise NotUnderstoodError([f"{file.name}: states no such alternatives; write them in its section Alternatives"])
    names = [name for name in base.alternatives if chosen is None or name in chosen]
    plans = {BASE: base} | {name: load(file, name, text=text, confined=True) for name in names}
    job.asked = n * len(plans)
    found = compare(plans, n, 0, _workers(), job.heard)
    if found.interrupted:
        return
    verdict = judge(found, LAST_WELL)
    said = {
        "sentences": answer(verdict),
        "plans": plan_rows(verdict),
        "pairs": pair_rows(verdict),
        "curves": {name: curve(seen.high.tolist()) for name, seen in verdict.seen.items()},
        "start": base.start.isoformat(),
        "replications": n,
    }
    path.parent.mkdir(exist_ok=True)
    write_whole(path, json.dumps(said, ensure_ascii=False).encode())
