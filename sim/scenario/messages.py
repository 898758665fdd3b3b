"""What the models refuse, in the words of whoever wrote the scenario: one problem for each thing to change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from sim.scenario.document import Node, Steps, nearest, plain, where
from sim.scenario.fields import choices, expected, follow, is_share, keys, meaning
from sim.scenario.problems import Problem, did_you_mean
from sim.scenario.stated_shapes import SHAPE_NAMES
from sim.scenario.troubles import USUAL
from sim.scenario.written import shown

Fault = Mapping[str, Any]  # one of pydantic's `errors()`

_LISTS = {
    "triangular": "[lowest, most likely, highest]",
    "pert": "[lowest, most likely, highest]",
    "uniform": "[lowest, highest]",
}


def explained(faults: Iterable[Fault], root: Node, written: Node) -> list[Problem]:
    """The faults that the models found in `root`, each placed in what was `written`."""
    faults = list(faults)
    led_to = {fault["loc"][:length] for fault in faults for length in range(len(fault["loc"]))}
    return [_explain(fault, root, written) for fault in faults if not _follows(fault, led_to)]


def _follows(fault: Fault, led_to: set[Steps]) -> bool:
    """Whether it only says that nothing is left of a list whose entries are at fault."""
    return fault["type"] == "too_short" and fault["loc"] in led_to


def _explain(fault: Fault, root: Node, written: Node) -> Problem:
    steps = tuple(step for step in fault["loc"] if step != "[key]")
    node = nearest(root, steps)
    place = node.place
    message = _MESSAGES.get(fault["type"], _refusal)(fault, steps)
    value = None if _shows_nothing(fault) else shown(steps[-1] if fault["loc"][-1] == "[key]" else plain(node))
    return Problem(place.file, place.line, where(place.steps, written), message, value)


def _shows_nothing(fault: Fault) -> bool:
    return fault["type"] in {"extra_forbidden", "too_short"} or (
        fault["type"] == "missing" and isinstance(fault["loc"][-1], str)
    )


def _refusal(fault: Fault, steps: Steps) -> str:
    """What the models' own checks say, or else what they expect."""
    return _kind(fault, steps) if fault["msg"].startswith("Input should") else str(fault["msg"])


def _kind(_: Fault, steps: Steps) -> str:
    return f"expected {expected(follow(steps))}"


def _text(fault: Fault, _: Steps) -> str:
    return "expected text" + ("; put quotes around it" if isinstance(fault["input"], (int, float)) else "")


def _missing(fault: Fault, steps: Steps) -> str:
    *outer, last = steps
    if isinstance(last, int):
        return f"expected {outer[-1]}: {_LISTS.get(str(outer[-1]), 'more values')}"
    field = keys(follow(outer)).get(last)
    hint = did_you_mean(outer[1], USUAL) if last == "strikes" else ""  # of a trouble without a usual name
    return f"missing: {last} is required ({meaning(field) if field else 'a value'}){hint}"


def _too_long(fault: Fault, steps: Steps) -> str:
    if steps[-1] in _LISTS:
        return f"expected {steps[-1]}: {_LISTS[str(steps[-1])]}"
    return f"too many entries; expected at most {fault['ctx']['max_length']:,}"


def _unknown_key(_: Fault, steps: Steps) -> str:
    if str(steps[-1])[:1].isdigit():  # `{fluid: 9,000 bbl}` is `{fluid: 9, 000 bbl: null}`
        return "a comma in a number, which ends the value before it; expected thousands without one, such as '9000 bbl'"
    known = list(keys(follow(steps[:-1])))
    return f"unknown key{did_you_mean(steps[-1], known)}; known keys: {', '.join(known)}"


def _choice(fault: Fault, steps: Steps) -> str:
    return _kind(fault, steps) + did_you_mean(fault["input"], choices(follow(steps)))


def _no_shape(fault: Fault, _: Steps) -> str:
    """No duration or factor; a mapping with one key may be a slip of the pen."""
    value = fault["input"]
    likely = did_you_mean(next(iter(value)), SHAPE_NAMES.split(", ")) if isinstance(value, dict) and value else ""
    return f"{fault['msg']}{likely}"


def _said(text: str) -> Callable[[Fault, Steps], str]:
    return lambda fault, _: text.format(**fault.get("ctx", {}))


def _bound(side: str, key: str) -> Callable[[Fault, Steps], str]:
    """On which side of a bound a number is expected; of a share, which is stated as a percentage, in percent."""

    def said(fault: Fault, steps: Steps) -> str:
        bound = fault["ctx"][key]
        return f"expected {side} " + (f"{100 * bound:g} %" if is_share(follow(steps)) else f"{bound:g}")

    return said


_MESSAGES: dict[str, Callable[[Fault, Steps], str]] = {
    "missing": _missing,
    "extra_forbidden": _unknown_key,
    "literal_error": _choice,
    "duration": _no_shape,
    "factor": _no_shape,
    "too_short": _said("an empty list; expected at least one entry"),
    "too_long": _too_long,
    "string_type": _text,
    "string_too_short": _said("expected text with at least {min_length} letter"),
    "string_too_long": _said("expected text of at most {max_length} letters"),
    "int_type": _said("expected a whole number"),
    "int_parsing": _said("expected a whole number"),
    "int_parsing_size": _said("expected a whole number"),
    "int_from_float": _said("expected a whole number"),
    "float_type": _said("expected a number"),
    "float_parsing": _said("expected a number"),
    "finite_number": _said("expected a number"),
    "greater_than_equal": _said("expected {ge} or more"),
    "less_than_equal": _said("expected at most {le}"),
    "greater_than": _bound("more than", "gt"),
    "less_than": _bound("less than", "lt"),
}
