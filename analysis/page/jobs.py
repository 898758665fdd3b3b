"""What the page plays, one after the other in the background: runs, where their days go, comparisons.

A job lives in the server, not in a tab: closing or reloading a tab changes nothing. The work is done by the same calls
as on the command line, in worker processes, so the page stays quick meanwhile.
"""

from __future__ import annotations

import threading
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field

WAITING, PLAYING, MAKING, DONE, STOPPED, FAILED = "waiting", "playing", "making files", "done", "stopped", "failed"
STOPPING = "stopping"
ON_ITS_WAY = {WAITING, PLAYING, STOPPING, MAKING}
MOST_WAITING = 50


class ServerStops(BaseException):
    """The page is being closed: leave at once what can be taken up again."""


@dataclass
class Job:
    """Something to be played. `work` is given the job itself, and tells it of replications by `heard`."""

    key: str
    what: str
    asked: int
    work: Callable[[Job], None]
    state: str = WAITING
    done: int = 0
    message: str = ""
    cancelled: bool = False
    _closing: threading.Event = field(default_factory=threading.Event)

    def heard(self, replications: int) -> None:
        """So many more are done. Ends the work by KeyboardInterrupt once the job is cancelled."""
        self.done += replications
        if self._closing.is_set():
            raise ServerStops
        if self.cancelled:
            raise KeyboardInterrupt
        if self.done >= self.asked:
            self.state = MAKING

    def close(self) -> None:
        """The page ends."""
        self._closing.set()


class Jobs:
    """One thread that does one job after the other."""

    def __init__(self) -> None:
        self._jobs: dict[str, Job] = {}
        self._changed = threading.Condition()
        self._closed = False
        self._thread = threading.Thread(target=self._work, name="jobs", daemon=True)
        self._thread.start()

    def add(self, job: Job) -> bool:
        """Put a job in line; says whether there was room, and none of its key on its way already."""
        with self._changed:
            same = self._jobs.get(job.key)
            if same is not None and same.state in ON_ITS_WAY:
                return False
            if sum(each.state == WAITING for each in self._jobs.values()) >= MOST_WAITING:
                return False
            self._jobs.pop(job.key, None)
            self._jobs[job.key] = job
            self._changed.notify_all()
            return True

    def get(self, key: str) -> Job | None:
        """The job of that key, if there was one since the page was started."""
        return self._jobs.get(key)

    def before(self, key: str) -> int:
        """How many jobs come before that one, if it is waiting in line."""
        jobs = list(self._jobs.values())
        place = next((place for place, job in enumerate(jobs) if job.key == key and job.state == WAITING), 0)
        return sum(job.state in ON_ITS_WAY for job in jobs[:place])

    def cancel(self, key: str) -> None:
        """Take a job out of the line, or stop it after the replications that are being played."""
        with self._changed:
            job = self._jobs.get(key)
            if job is not None:
                job.cancelled = True
                job.state = {WAITING: STOPPED, PLAYING: STOPPING}.get(job.state, job.state)

    def close(self, patience_s: float) -> bool:
        """Stop everything; what was played so far stays on disk. Says whether all of it has ended by then."""
        with self._changed:
            self._closed = True
            for job in self._jobs.values():
                job.close()
            self._changed.notify_all()
        self._thread.join(patience_s)
        return not self._thread.is_alive()

    def _next(self) -> Job | None:
        with self._changed:
            while not self._closed:
                job = next((each for each in self._jobs.values() if each.state == WAITING), None)
                if job is not None:
                    job.state = PLAYING
                    return job
                self._changed.wait()
            return None

    def _work(self) -> None:
        while (job := self._next()) is not None:
            _do(job)


def _do(job: Job) -> None:
    try:
        job.work(job)
        job.state = STOPPED if job.cancelled and job.done < job.asked else DONE
    except ServerStops:
        job.state = STOPPED
    except KeyboardInterrupt:
        job.state = STOPPED
    except Exception as error:
        nothing = job.cancelled and _is_nothing_played(error)
        job.state, job.message = (STOPPED, "") if nothing else (FAILED, _told(error))


def _is_nothing_played(error: Exception) -> bool:
    """Whether it was stopped before its first replications were done: that is no failure."""
    from analysis.runs.stopping import NothingPlayedError

    return isinstance(error, NothingPlayedError)


def _told(error: Exception) -> str:
    """What a user can put right in its own words; anything else is a fault of ours, and says so."""
    from analysis.asked import NotUnderstoodError
    from analysis.page.plan import told
    from analysis.runs.run_directory import RunDirectoryError
    from analysis.runs.stopping import NothingPlayedError
    from sim.pad import StuckError
    from sim.pool import WorkerLostError
    from sim.scenario import ScenarioError

    plain = (StuckError, NotUnderstoodError, RunDirectoryError, NothingPlayedError, WorkerLostError)
    if isinstance(error, ScenarioError):
        return told(error)
    if isinstance(error, plain):
        return str(error)
    traceback.print_exception(error)
    return f"a fault of the program: {type(error).__name__}: {error}"
