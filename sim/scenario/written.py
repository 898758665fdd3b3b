"""How a value reads in a scenario file, on one line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

LONGEST = 60


def as_written(value: object) -> str:
    """`{triangular: [2 h, 3 h, 4 h]}`: the value as a user would write it."""
    return "".join(_pieces(value))


def shown(value: object) -> str:
    """The value as written, text in quotes, cut short where it is long."""
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return f"'{shortened(value)}'"
    return _first(_pieces(value))


def shortened(text: str) -> str:
    """Text on one line, cut short where it is long, with nothing in it that a terminal would obey."""
    return _first(text[: LONGEST + 1])


def _first(pieces: Iterable[str]) -> str:
    text = ""
    for piece in pieces:
        text += "".join(letter if letter.isprintable() else "?" for letter in piece[: LONGEST + 1])
        if len(text) > LONGEST:
            return text[: LONGEST - 3] + "..."
    return text


def _pieces(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        yield "{"
        for index, (key, entry) in enumerate(value.items()):
            yield f"{', ' if index else ''}{key}: "
            yield from _pieces(entry)
        yield "}"
    elif isinstance(value, (list, tuple)):
        yield "["
        for index, entry in enumerate(value):
            yield ", " if index else ""
            yield from _pieces(entry)
        yield "]"
    else:
        yield _scalar(value)


def _scalar(value: object) -> str:
    if value is None or isinstance(value, bool):
        return "null" if value is None else str(value).lower()
    return f"{value:.12g}" if isinstance(value, float) else str(value)
