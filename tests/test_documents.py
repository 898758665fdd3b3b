"""What README and DEVELOPERS say is so: their snippets run, their output is real, what they name exists."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """Fenced blocks of a language, in order."""
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def run(*arguments: str) -> str:
    """Standard output of a Python process at the repository's root, which must succeed."""
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        env=os.environ | {"COLUMNS": "130", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_readme_opens_with_the_job_in_one_paragraph() -> None:
    """Title, then a paragraph, then the two commands."""
    title, job, *_ = README.split("\n\n")
    assert title == "# padtempo"
    assert len(job) > 300
    assert len(blocks(README, "sh")) >= 2


@pytest.mark.slow
@pytest.mark.parametrize("block", blocks(README, "python"), ids=lambda block: block.splitlines()[0])
def test_python_of_the_readme_runs(block: str, tmp_path: Path) -> None:
    """The snippets of the Python door run, each as a script that may start processes, and print something."""
    script = tmp_path / "own.py"
    body = "\n".join(f"    {line}" if line else "" for line in block.splitlines())
    script.write_text(f"def main():\n{body}\n\nif __name__ == '__main__':\n    main()\n", encoding="utf-8")
    assert run("-W", "error", str(script)).count("\n") >= 2


@pytest.mark.slow
def test_answer_in_the_readme_is_the_answer() -> None:
    """What README shows of the forecast is what its command prints."""
    printed = run("-m", "analysis.cli", "forecast", "scenarios/six_well_pad.yaml")
    shown = blocks(README, "text")[0].rstrip().removesuffix("...").rstrip()
    assert "\n".join(line.rstrip() for line in printed.splitlines()).startswith(shown)


@pytest.mark.slow
def test_comparison_in_the_readme_is_what_compare_prints() -> None:
    """What README shows of the strategies is what its command prints."""
    plans = ("--alternatives", "sequential,simultaneous")
    printed = run("-m", "analysis.cli", "compare", "scenarios/six_well_pad.yaml", *plans)
    shown = (
        next(block for block in blocks(README, "text") if "same luck" in block).rstrip().removesuffix("...").rstrip()
    )
    assert printed.startswith(shown)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "begins"),
    [
        (("where", "scenarios/six_well_pad.yaml"), "Of these days"),
        (("relax", "scenarios/six_well_pad.yaml", "--replications", "20"), "What gains most"),
    ],
    ids=["where", "relax"],
)
def test_where_the_days_go_in_the_readme_is_what_is_printed(command: tuple[str, ...], begins: str) -> None:
    """What README shows of the days, and of what would buy a week, is what the command beside it prints."""
    assert f"`padtempo {' '.join(command)}`" in README
    shown = next(block for block in blocks(README, "text") if f"\n{begins}" in block)
    assert run("-m", "analysis.cli", *command).startswith(shown.rstrip().removesuffix("...").rstrip())


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_linked_files_exist(text: str) -> None:
    """Every link and picture that is not on the net leads somewhere."""
    links = re.findall(r"\]\((?!https?://)([^)#]+)\)", text)
    assert not [link for link in links if not (ROOT / link).exists()]


def test_modules_named_by_developers_exist() -> None:
    """The house is described as it stands."""
    house = next(block for block in blocks(DEVELOPERS, "text") if block.startswith("sim/"))
    folder = ""
    for line in house.splitlines():
        if not line.startswith(" "):
            folder = line.split()[0]
            assert (ROOT / folder).is_dir()
        for name in re.findall(r"\b\w+\.py\b", line):
            assert (ROOT / folder / name).exists(), f"{folder}{name}"
        for name in re.findall(r"^  (\w+/)", line):
            assert (ROOT / folder / name).is_dir(), f"{folder}{name}"


def test_no_address_in_configuration() -> None:
    """Versions are pinned without saying where they come from."""
    for name in ("constraints.txt", "pyproject.toml", ".ci/run"):
        assert "://" not in (ROOT / name).read_text(encoding="utf-8"), name
