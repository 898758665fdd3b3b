"""Which keys each part of a scenario knows, and what is expected under them: the models, read as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BeforeValidator, Tag
from pydantic.fields import FieldInfo

from sim.scenario.part import Expects, OneOrSeveral, Part
from sim.scenario.quantities import Dimension, parse_share
from sim.scenario.scenario import Scenario
from sim.scenario.stated_shapes import SHAPE_NAMES
from sim.scenario.wells import Well

DATE = "a date such as 2027-03-01 or 2027-03-01 06:00"
_PLAIN = {
    datetime: DATE,
    int: "a whole number",
    float: "a number",
    str: "text",
    dict: "patches, such as sequential: {strategy.wells_in_rotation: 1}",
}


class AsWritten(Scenario):
    """A scenario as its file states it, with what its wells share."""

    well_defaults: Well  # without its name


def typed(field: FieldInfo) -> Any:
    """The whole type of a field, with what pydantic has taken apart put together again."""
    return Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation


def members(kind: Any) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    """What a value of this type may be, one after the other, each with the remarks attached to it."""
    origin = get_origin(kind)
    if origin is Annotated:
        base, *remarks = get_args(kind)
        for member, inner in members(base):
            yield member, (*inner, *remarks)
    elif origin in {Union, UnionType}:
        for option in get_args(kind):
            yield from members(option)
    else:
        yield kind, ()


def keys(kind: Any) -> dict[str, FieldInfo]:
    """Fields of the sections that a value of this type may be, by key; empty for plain values and lists.

    Where several kinds of section have a key, the first counts.
    """
    found: dict[str, FieldInfo] = {}
    for member, _ in members(kind):
        if isinstance(member, type) and issubclass(member, Part):
            written = {field.alias or name: field for name, field in member.model_fields.items()}
            found = {**found, **{key: field for key, field in written.items() if key not in found}}
    return found


def entry(kind: Any) -> Any | None:
    """Type of the entries where the value is a list."""
    for member, _ in members(kind):
        if get_origin(member) is tuple:
            return get_args(member)[0]
    return None


def named(kind: Any) -> Any:
    """Type of the values where there is one under each name that the user gives."""
    for member, _ in members(kind):
        if get_origin(member) is dict:
            return get_args(member)[1]
    return None


def is_list_of_parts(kind: Any) -> bool:
    """Whether the value is a list of entries that always have keys of their own, unlike durations."""
    return entry(kind) is not None and is_section_kind(entry(kind))


def may_be_bare(kind: Any) -> bool:
    """Whether the only entry of the list may stand for the list."""
    return any(isinstance(remark, OneOrSeveral) for _, remarks in members(kind) for remark in remarks)


def is_section_kind(kind: Any) -> bool:
    """Whether the value always has keys of its own, unlike a duration, which may be a plain time."""
    kinds = [member for member, _ in members(kind) if member is not NoneType]
    return bool(keys(kind)) and all(isinstance(member, type) and issubclass(member, Part) for member in kinds)


def follow(steps: Iterable[str | int], kind: Any = AsWritten) -> Any:
    """Type of what stands at `steps`; steps that are only names of kinds of value lead to that kind."""
    for step in steps:
        if isinstance(step, int):
            kind = entry(kind) or kind
        elif step in keys(kind):
            kind = typed(keys(kind)[step])
        elif keys(named(kind)) or entry(named(kind)) is not None:
            kind = named(kind)
        else:
            kind = _called(step, kind) or kind
    return kind


def _called(tag: str, kind: Any) -> Any | None:
    """Of several kinds of value, the one with this tag."""
    for member, remarks in members(kind):
        if any(isinstance(remark, Tag) and remark.tag == tag for remark in remarks):
            return member
    return None


def dimension(kind: Any) -> Dimension | None:
    """What a value of this type measures, if anything."""
    found = (remark for _, remarks in members(kind) for remark in remarks if isinstance(remark, Dimension))
    return next(found, None)


def is_share(kind: Any) -> bool:
    """Whether the value is a share, stated as a percentage."""
    remarks = (remark for _, remarks in members(kind) for remark in remarks)
    return any(isinstance(remark, BeforeValidator) and remark.func is parse_share for remark in remarks)


def choices(kind: Any) -> tuple[str, ...]:
    """The words that a value of this type is one of."""
    return next((get_args(member) for member, _ in members(kind) if get_origin(member) is Literal), ())


def expected(kind: Any) -> str:
    """What to write for a value of this type."""
    options = [member for member, _ in members(kind) if member is not NoneType]
    told = next(
        (remark.text for _, remarks in members(kind) for remark in remarks if isinstance(remark, Expects)), None
    )
    if told is not None:
        return told
    measured = dimension(kind)
    if measured is not None:
        return f"{measured.name} such as {measured.examples}"
    if choices(kind):
        *others, last = (f"'{choice}'" for choice in choices(kind))
        return f"{', '.join(others)} or {last}"
    if entry(kind) is not None:
        each = expected(entry(kind))
        return f"{each}; or a list of such" if may_be_bare(kind) else f"a list, each entry being {each}"
    if keys(kind) and is_section_kind(kind):
        return f"keys with values: {', '.join(keys(kind))}"
    if keys(named(kind)):
        return f"a name for each, with keys and values: {', '.join(keys(named(kind)))}"
    shape = f", or one of {SHAPE_NAMES}" if keys(kind) else ""
    return _PLAIN.get(get_origin(options[0]) or options[0], "a value") + shape


def meaning(field: FieldInfo) -> str:
    """What a field is for: its description, or what its type says of itself."""
    if field.description:
        return field.description
    parts = [member for member, _ in members(typed(field)) if isinstance(member, type) and issubclass(member, Part)]
    if len(parts) == 1 and parts[0].__doc__:
        said = parts[0].__doc__.split(". ")[0].rstrip(".")
        return said[0].lower() + said[1:]
    return expected(typed(field))
