"""A reader of calendars of its own, by the letter of RFC 5545: lines end in CR LF, are folded, and text is escaped."""

from __future__ import annotations

import re

Event = dict[str, str]
_ESCAPED = {"\\n": "\n", "\\N": "\n", "\\,": ",", "\\;": ";", "\\\\": "\\"}


def unfolded(content: bytes) -> list[str]:
    """Content lines of section 3.1: CR LF alone ends a line, none is longer than 75 octets, a space goes on."""
    assert content.endswith(b"\r\n")
    physical = content.split(b"\r\n")[:-1]
    assert all(b"\n" not in line and b"\r" not in line for line in physical)
    assert max(len(line) for line in physical) <= 75
    lines: list[bytes] = []
    for line in physical:
        if line[:1] in {b" ", b"\t"}:
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return [line.decode("utf-8") for line in lines]


def events_of(content: bytes) -> list[Event]:
    """Events with their properties as text, names with their parameters; components are closed as they are opened."""
    open_components: list[str] = []
    events: list[Event] = []
    for line in unfolded(content):
        name, _, value = line.partition(":")
        if name == "BEGIN":
            open_components.append(value)
            if value == "VEVENT":
                events.append({})
        elif name == "END":
            assert open_components.pop() == value
        elif open_components[-1] == "VEVENT":
            assert name not in events[-1]
            events[-1][name] = re.sub(r"\\[nN,;\\]", lambda found: _ESCAPED[found[0]], value)
    assert open_components == []
    return events
