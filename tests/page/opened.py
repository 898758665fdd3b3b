"""A page served by the command itself in a process of its own, and requests to it as a browser would send them."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import quote

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PAD = """\
# The plan of a test; every number is invented.
title: Curlew Flat
start: 2027-03-01 06:00   # hour zero
horizon: 90 day
well_defaults:
  measured_depth: 15000 ft
  lateral_length: 5000 ft
  stages: 5
  stage_design: {fluid: 9000 bbl, proppant: 400 klb}
wells:
  - {name: Curlew 1}
  - {name: Curlew 2, rig_release: 2027-03-02}   # the last one
units:
  preparation_crews: {hours: day shift}
  pumping_fleets: {name: Fleet A, arrives: 2027-03-05}
  wireline_units: {}
  milling_rigs: {}
  flowback_spreads: {duration: {triangular: [4 day, 5 day, 9 day]}}
water:
  sources: [{name: River, rate: 50 kbbl/day}]
  storage: {capacity: 40 kbbl}
strategy:
  wells_in_rotation: 2
alternatives:
  sequential: {strategy.wells_in_rotation: 1}
"""

# The command itself, but for the pictures that a run leaves: they take most of the time of a short run.
UNDRAWN = """
from analysis.forecasting import forecast_run, pictures
pictures.draw = forecast_run.draw_money = lambda *_: None
from analysis.cli import main
main()
"""


class Answer(NamedTuple):
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def data(self) -> Any:
        """The body as JSON."""
        return json.loads(self.body)


class Page(NamedTuple):
    """Where a page is served, what lets one in, and its process."""

    port: int
    token: str
    process: subprocess.Popen[str]
    folder: Path

    @property
    def address(self) -> str:
        """What is opened in a browser."""
        return f"http://127.0.0.1:{self.port}/open?token={self.token}"

    def ask(self, method: str, path: str, body: Any = None, **headers: str | None) -> Answer:
        """A request as the page itself sends it, but for the headers named; None leaves one out."""
        sent = {
            "Host": f"127.0.0.1:{self.port}",
            "Cookie": f"padtempo_{self.port}={self.token}",
            "X-Padtempo": "1",
            **({"Origin": f"http://127.0.0.1:{self.port}"} if method == "POST" else {}),
            **{name.replace("_", "-"): value for name, value in headers.items()},
        }
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        raw = body if isinstance(body, bytes) else None if body is None else json.dumps(body).encode()
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in sent.items():
            if value is not None:
                connection.putheader(name, value)
        connection.putheader("Content-Length", str(len(raw or b"")))
        connection.endheaders()
        with suppress(BrokenPipeError, ConnectionResetError):  # refused before all was sent
            connection.send(raw or b"")
        found = connection.getresponse()
        answer = Answer(found.status, {k.lower(): v for k, v in found.getheaders()}, found.read())
        connection.close()
        return answer

    def get(self, path: str) -> Any:
        """The data at an address of the page."""
        answer = self.ask("GET", f"/api/{path}")
        assert answer.status == 200, answer.body
        return answer.data

    def post(self, path: str, body: Any = None) -> Any:
        """What a change answers."""
        answer = self.ask("POST", f"/api/{path}", {} if body is None else body)
        assert answer.status == 200, answer.body
        return answer.data

    def run(self, name: str) -> Any:
        """What is told of a run."""
        return next(each for each in self.get("runs") if each["run"] == name)


@contextmanager
def opened(folder: Path, *more: str) -> Iterator[Page]:
    """The page over a folder, from the command line."""
    command = [sys.executable, "-c", UNDRAWN, "page", "--folder", str(folder), "--port", "0", "--no-browser"]
    process = subprocess.Popen(
        [*command, *more], stdout=subprocess.PIPE, text=True, env=os.environ | {"PYTHONUNBUFFERED": "1"}
    )
    assert process.stdout is not None
    try:
        found = next(filter(None, (re.search(r":(\d+)/open\?token=([\w-]+)", line) for line in process.stdout)))
        page = Page(int(found[1]), found[2], process, folder)
        until(lambda: answers(page))
        yield page
    finally:
        process.terminate()
        process.wait(40)
        process.stdout.close()


def answers(page: Page) -> bool:
    """Whether the server is up."""
    try:
        return page.ask("GET", "/api/desk").status == 200
    except OSError:
        return False


def until(holds: Callable[[], Any], most_s: float = 300.0) -> Any:
    """Wait for something to hold, and return it."""
    ends = time.monotonic() + most_s
    while time.monotonic() < ends:
        found = holds()
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError("it never came to that")


def at(name: str) -> str:
    """A name as part of an address."""
    return quote(name, safe="")
