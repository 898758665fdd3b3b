"""The folder of plans that the page works in: nothing outside it can be named, read or written.

An unsaved plan is a draft beside its file, `.NAME.draft`, written whole at every change, so that closing the browser or
a crash loses nothing. The file itself changes only when it is saved.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import NamedTuple

from analysis.runs.whole_files import write_whole

NAME = re.compile(r"[^\W_][\w ()+-]{0,79}\.ya?ml")
RUNS = "runs"
MOST_BYTES = 2_000_000  # as of a scenario file
MOST_PLANS = 500


class NotAllowedError(Exception):
    """What was asked for cannot be; the message says why, for the user."""


class Text(NamedTuple):
    """What a plan says now, and whether that is what its file says."""

    text: str
    saved: bool

    @property
    def version(self) -> str:
        """Changes with the text."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:16]


class Folder:
    """The plans in a folder, and where their runs go."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self.runs = self.root / RUNS

    def plans(self) -> list[str]:
        """Names of the plans here, in order."""
        found = (path.name for path in self.root.iterdir() if NAME.fullmatch(path.name) and path.is_file())
        return sorted(found)[:MOST_PLANS]

    def path(self, name: str) -> Path:
        """Where a plan of that name stands or would stand. Raises NotAllowedError for any other kind of name."""
        path = self.root / name
        if not NAME.fullmatch(name) or path.resolve().parent != self.root:
            raise NotAllowedError(
                "not a name for a plan here; expected letters, digits, spaces or dashes, ending in .yaml"
            )
        return path

    def there(self, name: str) -> Path:
        """Where a plan stands. Raises NotAllowedError where there is none."""
        path = self.path(name)
        if not path.is_file():
            raise NotAllowedError(f"{name}: no such plan in this folder")
        return path

    def read(self, name: str) -> Text:
        """The draft of a plan or, without one, its file. Raises NotAllowedError where it cannot be read."""
        stored, draft = _decoded(self.there(name)), self._draft(name)
        if not draft.is_file():
            return Text(stored, True)
        text = _decoded(draft)
        return Text(text, text == stored)

    def keep(self, name: str, text: str) -> Text:
        """Keep a text as the draft of a plan; a text like the file's needs none."""
        raw = _bounded(text.encode())
        if text == _decoded(self.there(name)):
            self._draft(name).unlink(missing_ok=True)
            return Text(text, True)
        write_whole(self._draft(name), raw)
        return Text(text, False)

    def save(self, name: str) -> Text:
        """The draft becomes the file."""
        text = self.read(name).text
        write_whole(self.there(name), text.encode())
        self._draft(name).unlink(missing_ok=True)
        return Text(text, True)

    def discard(self, name: str) -> Text:
        """Back to what the file says."""
        self._draft(name).unlink(missing_ok=True)
        return self.read(name)

    def add(self, name: str, raw: bytes) -> None:
        """A new plan. Raises NotAllowedError where there is one of that name, or where it is no text."""
        path = self.path(name)
        if path.exists():
            raise NotAllowedError(f"{name}: exists already; choose another name")
        _text(_bounded(raw), name)
        write_whole(path, raw)

    def _draft(self, name: str) -> Path:
        return self.root / f".{self.path(name).name}.draft"


def _bounded(raw: bytes) -> bytes:
    if len(raw) > MOST_BYTES:
        raise NotAllowedError(f"larger than {MOST_BYTES // 1_000_000} MB; expected a scenario file")
    return raw


def _decoded(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return _text(_bounded(file.read(MOST_BYTES + 1)), path.name)
    except OSError as error:
        raise NotAllowedError(f"{path.name}: cannot be read: {error.strerror}") from error


def _text(raw: bytes, name: str) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotAllowedError(f"{name}: not UTF-8 text; expected a scenario file, saved as UTF-8") from error
    if "\0" in text:
        raise NotAllowedError(f"{name}: not text; expected a scenario file")
    return text.replace("\r\n", "\n")
