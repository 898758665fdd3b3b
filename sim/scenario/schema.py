"""JSON Schema of a scenario file as people write it, for editors that complete and check while one types."""

from __future__ import annotations

from inspect import getdoc
from typing import Any

from sim.scenario import stated_shapes
from sim.scenario.fields import AsWritten
from sim.scenario.troubles import PUMPS, USUAL
from sim.scenario.written import as_written

Schema = dict[str, Any]

_DATE = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}([T ]\d{2}:\d{2}(:\d{2})?)?$"}
_LIMITS = {"ge": "minimum", "le": "maximum", "gt": "exclusiveMinimum", "lt": "exclusiveMaximum"}


def json_schema() -> Schema:
    """The schema (draft 2020-12), with what each key means, its default, and the source of the default."""
    schema: Schema = _tidy(AsWritten.model_json_schema())
    definitions = schema.pop("$defs")
    _as_in_files(schema, definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A well pad, from rig release to production",
        **schema,
        "$defs": definitions,
    }


def _as_in_files(schema: Schema, definitions: dict[str, Schema]) -> None:
    """Allow what is put together only when the file is read: shared values, tables, and short forms."""
    well = definitions["Well"]
    well["properties"]["toe"] = {
        "anyOf": [{"$ref": "#/$defs/Toe"}, {"enum": definitions["Toe"]["properties"]["method"]["enum"]}]
    }
    well["required"] = ["name"]
    for part in ("StageDesign", "Pressure", "Production"):  # the rest of each may stand in well_defaults
        definitions[part].pop("required", None)
    shared = {key: value for key, value in well["properties"].items() if key != "name"}
    definitions["WellDefaults"] = {
        "type": "object",
        "description": "What all wells share, unless they state otherwise.",
        "additionalProperties": False,
        "properties": shared,
    }
    properties = schema["properties"]
    properties["well_defaults"] = {"$ref": "#/$defs/WellDefaults"}
    table = {"type": "string", "description": "a csv table of wells, beside this file"}
    properties["wells"] = {
        "description": "each well, or the name of a csv table",
        "anyOf": [properties["wells"], table],
    }
    properties["troubles"] = _troubles(properties["troubles"], definitions)
    schema["required"] = ["start", "wells", "units"]
    schema["description"] = "Quantities carry their units; hour zero of all work is the start."


def _troubles(schema: Schema, definitions: dict[str, Schema]) -> Schema:
    """Troubles by name: of a usual one nothing need be stated, of any other what it strikes and costs."""
    (names, kinds), *_ = schema.pop("patternProperties").items()
    needed = {f"#/$defs/{kind}": definitions[kind].pop("required") for kind in ("Trouble", "PumpFailure")}
    usual = {name: _usual(name, kinds["oneOf"]) for name in USUAL}
    others = [{**kind, "required": needed[kind["$ref"]]} for kind in kinds["oneOf"]]
    return {
        **schema,
        "propertyNames": {"pattern": names},
        "properties": usual,
        "additionalProperties": {"oneOf": others},
    }


def _usual(name: str, kinds: list[Schema]) -> Schema:
    of_the_pumps = USUAL[name]["strikes"] == PUMPS
    return {**kinds[of_the_pumps], "description": f"usually {as_written(USUAL[name])}"}


def _tidy(node: Any) -> Any:
    """The models' own schema in plain names and standard keywords, with sources among the descriptions."""
    if isinstance(node, list):
        return [_tidy(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    if node.get("format") == "date-time":
        return _DATE | {key: node[key] for key in ("description", "default") if key in node}
    tidied: Schema = {}
    for key, entry in node.items():
        if not _is_noise(key, entry):
            tidied[_LIMITS.get(key) or key] = _tidy_entry(key, entry)
    return _with_source(tidied, node)


def _is_noise(key: str, entry: object) -> bool:
    """Titles made up from names of keys, and remarks that are said otherwise. A field may be called title itself."""
    return key in {"title", "source", "unstated"} and isinstance(entry, str)


def _tidy_entry(key: str, entry: Any) -> Any:
    if key == "$ref":
        return f"#/$defs/{_short(entry.rpartition('/')[2])}"
    if key == "default":
        return entry
    if key == "$defs":
        return {_short(name): _described(_short(name), _tidy(definition)) for name, definition in entry.items()}
    return _tidy(entry)


def _with_source(tidied: Schema, node: Schema) -> Schema:
    source = node.get("source")
    if not isinstance(source, str):
        return tidied
    default = node.get("unstated") or as_written(node.get("default"))
    said = str(node.get("description", "")).partition("; if not stated")[0]
    return {**tidied, "description": f"{said}{'; ' if said else ''}default: {default} ({source})"}


def _short(name: str) -> str:
    """Shapes come in two kinds, whose long names say of what."""
    shape, generic, of = name.partition("_Annotated")
    return f"{shape}Of{'Time' if 'Dimension' in of else 'Factor'}" if generic else shape


def _described(name: str, definition: Schema) -> Schema:
    shape = getattr(stated_shapes, name.removesuffix("OfTime").removesuffix("OfFactor"), None)
    return definition if shape is None else {"description": getdoc(shape), **definition}
