"""Runs of plans in the folder: each in a run directory that the command line reads too, with its plan beside it."""

from __future__ import annotations

import json
import os
import re
import threading
from functools import partial
from io import StringIO
from pathlib import Path
from typing import Any

from analysis.page.folder import Folder, NotAllowedError
from analysis.page.jobs import DONE, ON_ITS_WAY, STOPPED, Job, Jobs
from analysis.page.live import LiveDates
from analysis.runs.whole_files import write_whole

ID = re.compile(r"[\w][\w ()+-]{0,90}")
MOST_REPLICATIONS = 1_000_000
MOST_SHOWN = 200
FILES = (
    *("plan.xlsx", "plan.ics", "dates.csv", "stages.csv", "costs.csv", "cost_lines.csv", "cash.csv", "production.csv"),
    *("fuel.csv", "supplies.csv", "summary.json", "report.html"),
)


class Runs:
    """Every run under the folder, and those in line."""

    def __init__(self, folder: Folder, jobs: Jobs) -> None:
        self.folder, self.jobs = folder, jobs
        self._live: dict[str, LiveDates] = {}
        self._manifests: dict[str, tuple[int, dict[str, Any]]] = {}
        self._naming = threading.Lock()

    def directory(self, run: str) -> Path:
        """Where a run is. Raises NotAllowedError for a name that none can have."""
        path = self.folder.runs / run
        if not ID.fullmatch(run) or path.resolve().parent != self.folder.runs.resolve():
            raise NotAllowedError("not a name of a run here")
        return path

    def beside(self, run: str, what: str) -> Path:
        """A file of the page's own about a run, beside its directory."""
        path = self.directory(run)
        return path.with_name(f"{path.name}.{what}")

    def start(self, plan: str, text: str, asked: Any) -> str:
        """Put a run of a plan in line, as it is now. Raises ScenarioError or NotAllowedError where it cannot be."""
        from analysis.forecasting.precision import target_of
        from sim.scenario import load, read, stated

        alternative, n, seed, until = _understood(asked)
        path = self.folder.there(plan)
        load(path, alternative, text=text, confined=True)
        if until is not None:
            target_of("until", until)
        written_out = json.dumps(stated(read(path, text=text, confined=True)), indent=1, ensure_ascii=False)
        with self._naming:
            run = self._new_name(path.stem)
            write_whole(self.beside(run, "order.json"), json.dumps([alternative, n, seed, until, plan]).encode())
            write_whole(self.beside(run, "plan.yaml"), f"{written_out}\n".encode())
        self._put_in_line(run)
        return run

    def go_on(self, run: str) -> None:
        """Put a run that was stopped in line again."""
        if not self.beside(run, "plan.yaml").is_file():
            raise NotAllowedError(f"{run}: was not started from this page; use padtempo forecast --resume")
        self._put_in_line(run)

    def _put_in_line(self, run: str) -> None:
        _, n, *_ = self._order(run)
        job = Job(f"run {run}", f"run {run}", n, partial(self._play, run))
        job.done = self.live(run).count()
        if not self.jobs.add(job):
            raise NotAllowedError("is in line already, or the line is full")

    def _play(self, run: str, job: Job) -> None:
        from rich.console import Console

        from analysis.forecasting.forecast_run import Order, carry_out

        alternative, n, seed, until, _ = self._order(run)
        out, workers = self.directory(run), max(2, os.cpu_count() or 1)
        resume = until is None
        order = Order(self.beside(run, "plan.yaml"), alternative, n, seed, workers, out, not resume, until, resume)
        carry_out(order, Console(file=StringIO(), width=130), job.heard)

    def _order(self, run: str) -> Any:
        try:
            return json.loads(self.beside(run, "order.json").read_bytes())
        except (OSError, ValueError) as error:
            raise NotAllowedError(f"{run}: was not started from this page") from error

    def _new_name(self, stem: str) -> str:
        self.folder.runs.mkdir(exist_ok=True)
        taken = {path.name.partition(".")[0] for path in self.folder.runs.iterdir()}
        return next(name for k in range(1, 100_000) if (name := f"{stem} {k:03d}") not in taken)

    def names(self) -> list[str]:
        """Runs here, those of last first."""
        if not self.folder.runs.is_dir():
            return []
        found = {
            path.name if path.is_dir() else path.name.removesuffix(".order.json")
            for path in self.folder.runs.iterdir()
            if path.is_dir() or path.name.endswith(".order.json")
        }
        return sorted((name for name in found if ID.fullmatch(name)), key=self._age, reverse=True)[:MOST_SHOWN]

    def _age(self, run: str) -> tuple[float, str]:
        for path in (self.beside(run, "order.json"), self.directory(run)):
            if path.exists():
                return path.stat().st_mtime, run
        return 0.0, run

    def listed(self) -> list[dict[str, Any]]:
        """What is known of every run; those under way with their dates so far."""
        return [self.told(run) for run in self.names()]

    def told(self, run: str) -> dict[str, Any]:
        """State, replications and dates of one run."""
        job, manifest = self.jobs.get(f"run {run}"), self.manifest(run)
        asked = job.asked if job is not None else manifest.get("replications_asked", 0)
        complete = manifest.get("replications_done", 0) > 0
        state = job.state if job is not None else (DONE if complete else STOPPED)
        if state == DONE and manifest.get("replications_done", 0) < asked and "until" not in manifest:
            state = STOPPED
        done = job.done if job is not None and state in ON_ITS_WAY else self.live(run).count()
        return {
            "run": run,
            "state": state,
            "done": done,
            "asked": asked,
            "message": job.message if job is not None else "",
            "alternative": manifest.get("alternative"),
            "until": manifest.get("until"),
            "plan": self._plan_of(run),
            "title": (manifest.get("scenario") or {}).get("title", ""),
            "has_result": complete,
            "dates": self.live(run).dates(manifest) if manifest.get("scenario") else None,
            "trace": self.live(run).trace(),
            "start": str((manifest.get("scenario") or {}).get("start", "")).replace(" ", "T"),
            "before": self.jobs.before(f"run {run}"),
        }

    def _plan_of(self, run: str) -> str:
        try:
            return str(self._order(run)[4])
        except NotAllowedError:
            return ""

    def live(self, run: str) -> LiveDates:
        """Dates of a run as far as it is played."""
        return self._live.setdefault(run, LiveDates(self.directory(run)))

    def manifest(self, run: str) -> dict[str, Any]:
        """What a run is, as far as it is on disk yet; read anew only when it was written anew."""
        path = self.directory(run) / "manifest.json"
        try:
            stamp = path.stat().st_mtime_ns
            known = self._manifests.get(run)
            if known is None or known[0] != stamp:
                known = self._manifests[run] = (stamp, json.loads(path.read_bytes()))
            return known[1]
        except (OSError, ValueError):
            return {}

    def file(self, run: str, name: str) -> Path:
        """A file to download. Raises NotAllowedError for anything but what a run leaves for planners."""
        path = self.directory(run) / name
        if name not in FILES or not path.is_file() or path.resolve().parent != self.directory(run).resolve():
            raise NotAllowedError(f"{run}: has no file of that name")
        return path


def _understood(asked: Any) -> tuple[str | None, int, int, str | None]:
    asked = asked if isinstance(asked, dict) else {}
    alternative, until = (asked.get(name) or None for name in ("alternative", "until"))
    n, seed = asked.get("replications", 300), asked.get("seed", 0)
    if type(n) is not int or not 1 <= n <= MOST_REPLICATIONS:
        raise NotAllowedError(f"replications: expected a whole number from 1 to {MOST_REPLICATIONS:,}")
    if type(seed) is not int or not 0 <= seed < 2**63:
        raise NotAllowedError("seed: expected a whole number, 0 or more")
    if not all(each is None or (isinstance(each, str) and len(each) < 500) for each in (alternative, until)):
        raise NotAllowedError("expected names as text")
    return alternative, n, seed, until
