"""Slips of YAML punctuation, said in words that need no YAML."""

from __future__ import annotations

from typing import Any

from sim.scenario.problems import Problem
from sim.scenario.written import shortened

# fragment of the library's wording; what it means; whether the place that counts is where the piece began
_MEANINGS = (
    ("mapping values are not allowed", "a ':' that fits nowhere; check the indentation, quote text with ': '", False),
    ("character '\\t'", "a tab; expected spaces for indentation", False),
    ("that cannot start any token", "a value cannot begin with this sign; expected quotes around the text", False),
    ("could not find expected ':'", "expected 'key: value', with a space after the colon", True),
    ("unexpected end of stream", "a quote that is never closed", True),
    ("expected ',' or ']'", "a list that is not closed, or lacks a comma; expected ',' or ']'", True),
    ("expected ',' or '}'", "a mapping that is not closed, or lacks a comma; expected ',' or '}'", True),
    ("expected <block end>", "indentation that does not fit the lines above", False),
    ("sequence entries are not allowed", "a '-' that fits nowhere; expected a line for each entry of a list", False),
    ("unacceptable character", "a control character; expected plain text", False),
    ("found unknown escape character", "a backslash that means nothing; expected '\\\\' or single quotes", False),
    ("expected the node content", "expected a value, such as a number, text, [a list] or {key: value}", False),
    ("comment or a line break", "text behind a '|' or '>'; expected quotes around the value", False),
    ("expected URI", "a tag; expected quotes around the value", False),
    ("mapping keys are not allowed", "a '?' that fits nowhere; expected quotes around the value", False),
    ("chomping or indentation", "text behind a '|' or '>'; expected quotes around the value", False),
    ("expected alphabetic or numeric", "a '*' or '&' without a name; expected quotes around the value", False),
    ("found duplicate anchor", "an anchor stated twice", False),
    ("Python int too large", "an escape that stands for no character; expected plain text", False),
    ("chr() arg", "an escape that stands for no character; expected plain text", False),
    ("undefined tag handle", "a tag; expected a value without one", False),
)  # fmt: skip


def syntax_problem(error: Any, file: str, line_read: int, text: str) -> Problem:
    """The library's complaint, or failure, about `text`; `line_read` is as far as it got."""
    complaint = str(getattr(error, "problem", None) or error).splitlines()[0] if str(error) else ""
    meaning, began = next(
        ((plain, began) for fragment, plain, began in _MEANINGS if fragment in complaint),
        (f"not valid YAML: {shortened(complaint)}", False),
    )
    start, end = (getattr(error, name, None) for name in ("context_mark", "problem_mark"))
    mark = start if began and start is not None else end or start
    if mark is not None:
        return Problem(file, mark.line + 1, "", meaning)
    position = getattr(error, "position", None)  # of a character that the library does not take
    line = text.count("\n", 0, position) + 1 if isinstance(position, int) else line_read
    return Problem(file, line, "", meaning)
