"""A text file as people save it, or a plain reason why it cannot be read."""

from __future__ import annotations

from pathlib import Path

from sim.scenario.problems import Problem, ScenarioError


def read_text(file: Path, most_megabytes: int, what: str) -> str:
    """The text of `file`. Raises ScenarioError where there is none; `what` was expected."""
    try:
        if file.is_dir():
            raise _refused(file, 0, f"a folder; expected {what}")
        if file.exists() and file.stat().st_size > most_megabytes * 1_000_000:
            raise _refused(file, 1, f"larger than {most_megabytes} MB; expected {what}")
        return _decoded(file, file.read_bytes(), what)
    except FileNotFoundError:
        raise _refused(file, 0, f"no such file; expected {what}") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise _refused(file, 0, f"cannot be read ({reason}); expected {what}") from error


def _decoded(file: Path, raw: bytes, what: str) -> str:
    try:
        text = raw.decode("utf-8-sig")
        bad = text.find("\0")
    except UnicodeDecodeError as error:
        text, bad = raw[: error.start].decode("utf-8", "replace"), error.start
    if bad < 0:
        return text
    line = text.count("\n", 0, bad) + 1
    raise _refused(file, line, f"not UTF-8 text; expected {what}, saved as UTF-8")


def _refused(file: Path, line: int, message: str) -> ScenarioError:
    return ScenarioError([Problem(str(file), line, "", message)])
