"""`padtempo forecast --cluster`: the same files as from one machine, and a run that is stopped there goes on here."""

from __future__ import annotations

import signal
import subprocess
import time
from pathlib import Path

import pytest
from desk import ROOT, command, contents, file_of, forecast, padtempo

from sim import cluster
from tests.sim.clusters import local_cluster

REPLICATIONS = 1000
pytestmark = [pytest.mark.usefixtures("undrawn")]


@pytest.mark.slow
def test_stopped_on_a_cluster_and_gone_on_with_here(tmp_path: Path) -> None:
    """Ctrl-C keeps what is done, with nothing on standard error; every file ends as one machine would have left it."""
    pytest.importorskip("distributed")
    file, out = file_of(tmp_path), tmp_path / "run"
    with local_cluster(tmp_path, 1) as found:
        options = ("--out", str(out), "--cluster", found.address, "--replications", str(REPLICATIONS))
        while "has no workers" in padtempo("forecast", file, "--cluster", found.address, "--replications", "1").stderr:
            time.sleep(0.2)
        arguments = command("forecast", file, *options)
        with subprocess.Popen(arguments, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
            while len(list(out.glob("tables/pads/part-*.parquet"))) < 5:
                assert run.poll() is None, run.communicate()
                time.sleep(0.01)
            run.send_signal(signal.SIGINT)
            printed, errors = run.communicate(timeout=120)
    assert (run.returncode, errors) == (130, "")
    assert f" of {REPLICATIONS} replications were done." in printed
    assert padtempo("forecast", file, "--out", str(out), "--resume", "--workers", "1").exit_code == 0
    assert forecast(file, "--out", str(tmp_path / "here"), replications=REPLICATIONS).exit_code == 0
    assert contents(out) == contents(tmp_path / "here")


def test_nobody_at_the_address_is_a_plain_message(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit code 2, and no directory is made."""
    monkeypatch.setattr(cluster, "CONNECT_S", 0.3)
    done = padtempo("forecast", file_of(tmp_path), "--cluster", "tcp://127.0.0.1:1", "--out", str(tmp_path / "run"))
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("no scheduler answers at 'tcp://127.0.0.1:1'; expected the address that")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "run").exists()
