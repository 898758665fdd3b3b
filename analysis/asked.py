"""What is asked for in words on the command line, or a plain message about what is not understood."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

MOST = 10_000  # replications, where a rule decides when to stop and no ceiling is stated


class NotUnderstoodError(Exception):
    """Something asked for does not exist or means nothing; one line for each thing to change."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


def understood(*asked: Callable[[], Any]) -> list[Any]:
    """What all of these give. Raises NotUnderstoodError with the problems of all at once."""
    found, problems = list[Any](), list[str]()
    for each in asked:
        try:
            found.append(each())
        except NotUnderstoodError as error:
            problems += error.problems
    if problems:
        raise NotUnderstoodError(problems)
    return found


def hours_of(option: str, text: str) -> float:
    """A time such as '1 day' in hours. Raises NotUnderstoodError that names the option."""
    from pydantic_core import PydanticCustomError

    from sim.scenario.quantities import TIME, parse
    from sim.scenario.written import shown

    try:
        return parse(text.strip(), TIME, positive=True)
    except PydanticCustomError as error:
        raise NotUnderstoodError([f"{option}: {error.message()} (got {shown(text)})"]) from error


def split_names(text: str, known: Iterable[str]) -> list[str]:
    """Names from a list with commas, each once; a known name that itself holds a comma is found whole.

    The longest known name wins, so 'a, b' is one name where there is one called that.
    """
    by_spelling = {_spelt(name): name for name in known}
    pieces, names = text.split(","), list[str]()
    while pieces:
        length = next((n for n in range(len(pieces), 0, -1) if _spelt(",".join(pieces[:n])) in by_spelling), 1)
        spelt = _spelt(",".join(pieces[:length]))
        names.append(by_spelling.get(spelt, spelt))
        pieces = pieces[length:]
    return list(dict.fromkeys(name for name in names if name))


def _spelt(name: str) -> str:
    """The name with single spaces, also behind its commas."""
    return " ".join(name.replace(",", ", ").split()).replace(" ,", ",")
