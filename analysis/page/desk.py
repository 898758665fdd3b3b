"""Everything that can be done from the page, each as one call; knows nothing of how it is asked for."""

from __future__ import annotations

import threading
from collections import defaultdict
from pathlib import Path
from typing import Any

from analysis.cautions import FULL, SHORT
from analysis.page.arithmetic import arithmetic_of
from analysis.page.folder import Folder, NotAllowedError, Text
from analysis.page.jobs import Jobs
from analysis.page.levers import levers_of
from analysis.page.plan import Readings, changed_text, judged, shown_plan, tables_stamp
from analysis.page.replay import replay_of
from analysis.page.results import results_of
from analysis.page.runs import FILES, Runs
from analysis.page.studies import Studies
from analysis.page.whatif import WhatIf

AT_ONCE = 60_000  # letters of a plan that is checked throughout before a change is answered
CLOSING_S = 4.0  # patience with the replications that are being played when the page ends


class Desk:
    """A folder of plans with its runs."""

    def __init__(self, folder: Path) -> None:
        self.folder = Folder(folder)
        self.jobs = Jobs()
        self.runs = Runs(self.folder, self.jobs)
        self.studies = Studies(self.folder, self.runs, self.jobs)
        self.what_ifs = WhatIf(self.folder)
        self._changing: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)
        self._showing: defaultdict[str, threading.Lock] = defaultdict(threading.Lock)
        self._shown: dict[tuple[str, str, bool, float], dict[str, Any]] = {}
        self._readings = Readings()

    def close(self) -> bool:
        """Stop what is being played; all of it can be taken up again. Says whether it has ended by then."""
        self.what_ifs.close()
        return self.jobs.close(CLOSING_S)

    def overview(self) -> dict[str, Any]:
        """The plans here, and the cautions."""
        return {
            "folder": str(self.folder.root),
            "plans": self.folder.plans(),
            "caution": SHORT.replace("see `check`", "see this list"),
            "cautions": list(FULL),
        }

    def plan(self, name: str) -> dict[str, Any]:
        """A plan with its fields and all that is wrong with it."""
        return self._shown_plan(name, self.folder.read(name))

    def change(self, name: str, body: Any) -> dict[str, Any]:
        """A plan with a change made to its draft; a large one is shown before all is said of it, see `checked`."""
        self.folder.there(name)
        with self._changing[name]:
            asked = body if isinstance(body, dict) else {}
            text = changed_text(self.folder, name, str(asked.get("version")), asked, self._readings)
        if len(text.text) <= AT_ONCE:
            return self._shown_plan(name, text)
        return shown_plan(self.folder, name, text, self._readings, whole=False)

    def save(self, name: str, body: Any) -> dict[str, Any]:
        """The plan as saved; refused where it has changed since it was shown."""
        self.folder.there(name)
        with self._changing[name]:
            if not isinstance(body, dict) or body.get("version") != self.folder.read(name).version:
                raise NotAllowedError("the plan was changed elsewhere meanwhile, in another tab perhaps")
            return self._shown_plan(name, self.folder.save(name))

    def discard(self, name: str) -> dict[str, Any]:
        """The plan as its file has it."""
        return self._shown_plan(name, self.folder.discard(name))

    def add(self, name: str, body: Any) -> dict[str, Any]:
        """A new plan: the text that came with it, or the starter."""
        from analysis.examples import starter

        text = body.get("text") if isinstance(body, dict) else None
        if text is not None and not isinstance(text, str):
            raise NotAllowedError("expected the plan as text")
        self.folder.add(name, (starter() if text is None else text).encode())
        return self.plan(name)

    def _shown_plan(self, name: str, text: Text) -> dict[str, Any]:
        """Remembered for the last few texts: many tabs may ask for the same."""
        key = (name, text.version, text.saved, tables_stamp(self.folder.root))
        with self._showing[name]:
            if key not in self._shown:
                while len(self._shown) >= 8:
                    self._shown.pop(next(iter(self._shown)), None)
                self._shown[key] = shown_plan(self.folder, name, text, self._readings)
            return self._shown[key]

    def run(self, name: str, body: Any) -> dict[str, Any]:
        """A run of the plan as it is now, put in line."""
        return {"run": self.runs.start(name, self.folder.read(name).text, body)}

    def cancel(self, run: str) -> dict[str, Any]:
        """The run is stopped after the replications that are being played; those are kept."""
        self.runs.directory(run)
        self.jobs.cancel(f"run {run}")
        return self.runs.told(run)

    def go_on(self, run: str) -> dict[str, Any]:
        """The run goes on where it was stopped."""
        self.runs.go_on(run)
        return self.runs.told(run)

    def results(self, run: str) -> dict[str, Any]:
        """What a finished run says."""
        directory = self.runs.directory(run)
        there = [name for name in FILES if (directory / name).is_file()]
        return results_of(directory, self.runs.live(run).hours(), there)

    def replay(self, run: str) -> dict[str, Any]:
        """The representative replication of a finished run."""
        return replay_of(self.runs.directory(run))

    def explain(self, run: str, body: Any) -> dict[str, Any]:
        """The arithmetic of one stage of a run's plan, with durations at their means."""
        asked = body if isinstance(body, dict) else {}
        return {"lines": arithmetic_of(self.runs.manifest(run), asked.get("well"), asked.get("stage"))}

    def compare(self, name: str, body: Any) -> dict[str, Any]:
        """The plan against its alternatives."""
        n = body.get("replications", 200) if isinstance(body, dict) else 0
        if type(n) is not int:
            raise NotAllowedError("replications: expected a whole number")
        return self.studies.compare(name, self.folder.read(name).text, n, body.get("alternatives"))

    def levers(self, name: str) -> list[dict[str, Any]]:
        """The numbers of the plan that can be moved to see what that does; the worker is started meanwhile."""
        text = self.folder.read(name)
        scenario, _ = judged(self._readings.of(self.folder.there(name), text.text), whole=False)
        if scenario is None:
            raise NotAllowedError("the plan has mistakes; put them right first, then its numbers can be moved")
        threading.Thread(target=self.what_ifs.warm, args=(name, text.text, text.version), daemon=True).start()
        return [lever._asdict() for lever in levers_of(scenario)]

    def what_if(self, name: str, body: Any) -> dict[str, Any]:
        """The plan against itself with some numbers moved."""
        moved = body.get("moved") if isinstance(body, dict) else None
        if not isinstance(moved, dict) or not all(type(value) in (int, float) for value in moved.values()):
            raise NotAllowedError("expected levers with numbers")
        text = self.folder.read(name)
        return self.what_ifs.answer(name, text.text, text.version, moved)
