"""The schema that editors check a scenario with while it is being written.

The checker here knows just the keywords that the schema uses, and refuses any other, by JSON Schema draft 2020-12.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from sim.scenario import json_schema
from sim.scenario.document import plain
from sim.scenario.quantities import Share, ShareAboveNone, ShareBelowAll
from sim.scenario.troubles import USUAL
from sim.scenario.written import as_written
from sim.scenario.yaml_text import read_yaml
from tests.scenario.files import FULL, PAD, changed

ROOT = Path(__file__).parents[2]
SCHEMA = json_schema()
REMARKS = {"description", "default", "examples", "title", "$schema", "$defs"}

Rule = Callable[[Any, Any, dict[str, Any]], bool]  # value, what the keyword asks, the schema that it stands in

TYPES: dict[str, Callable[[Any], bool]] = {
    "object": lambda value: isinstance(value, dict),
    "array": lambda value: isinstance(value, list),
    "string": lambda value: isinstance(value, str),
    "number": lambda value: isinstance(value, (int, float)) and not isinstance(value, bool),
    "integer": lambda value: isinstance(value, int) and not isinstance(value, bool),
    "null": lambda value: value is None,
}


def fits(value: Any, schema: dict[str, Any]) -> bool:
    """Whether the value is valid against the schema."""
    return all(RULES[keyword](value, asked, schema) for keyword, asked in schema.items() if keyword not in REMARKS)


def of_a_type(value: Any, names: str | list[str], _: Any) -> bool:
    return any(TYPES[name](value) for name in ([names] if isinstance(names, str) else names))


def other_properties(value: dict[str, Any], asked: Any, schema: dict[str, Any]) -> bool:
    others = [entry for key, entry in value.items() if key not in schema.get("properties", {})]
    return asked is True or not others or (asked is not False and all(fits(entry, asked) for entry in others))


def other_items(value: list[Any], asked: Any, schema: dict[str, Any]) -> bool:
    return all(fits(entry, asked) for entry in value[len(schema.get("prefixItems", [])) :])


def only(kind: str, rule: Rule) -> Rule:
    """A rule that says nothing about other kinds of value."""
    return lambda value, asked, schema: not TYPES[kind](value) or rule(value, asked, schema)


RULES: dict[str, Rule] = {
    "type": of_a_type,
    "enum": lambda value, asked, _: value in asked,
    "const": lambda value, asked, _: value == asked,
    "$ref": lambda value, asked, _: fits(value, SCHEMA["$defs"][asked.removeprefix("#/$defs/")]),
    "anyOf": lambda value, asked, _: any(fits(value, option) for option in asked),
    "oneOf": lambda value, asked, _: sum(fits(value, option) for option in asked) == 1,
    "pattern": only("string", lambda value, asked, _: re.search(asked, value) is not None),
    "minLength": only("string", lambda value, asked, _: len(value) >= asked),
    "maxLength": only("string", lambda value, asked, _: len(value) <= asked),
    "minimum": only("number", lambda value, asked, _: value >= asked),
    "maximum": only("number", lambda value, asked, _: value <= asked),
    "exclusiveMinimum": only("number", lambda value, asked, _: value > asked),
    "required": only("object", lambda value, asked, _: set(asked) <= set(value)),
    "maxProperties": only("object", lambda value, asked, _: len(value) <= asked),
    "minProperties": only("object", lambda value, asked, _: len(value) >= asked),
    "properties": only("object", lambda value, asked, _: all(fits(value[k], asked[k]) for k in asked if k in value)),
    "patternProperties": only(
        "object",
        lambda value, asked, _: all(fits(value[k], asked[p]) for p in asked for k in value if re.search(p, k)),
    ),
    "propertyNames": only("object", lambda value, asked, _: all(fits(key, asked) for key in value)),
    "additionalProperties": only("object", other_properties),
    "minItems": only("array", lambda value, asked, _: len(value) >= asked),
    "maxItems": only("array", lambda value, asked, _: len(value) <= asked),
    "prefixItems": only(
        "array", lambda value, asked, _: all(fits(entry, each) for entry, each in zip(value, asked, strict=False))
    ),
    "items": only("array", other_items),
}


def written(folder: Path, text: str) -> Any:
    file = folder / "pad.yaml"
    file.write_text(text)
    return plain(read_yaml(file)[0])


TABLE = PAD[: PAD.index("wells:\n")] + "wells: heron.csv\n" + PAD[PAD.index("units:") : PAD.index("alternatives:")]


@pytest.mark.parametrize(
    "text",
    [
        PAD,
        TABLE,
        FULL,
        changed(("toe: {time: 5 h}", "toe: toe sleeve")),
        changed(("{count: 2, run_in: 250 ft/min}", "[{count: 1, name: 7}, {arrives: 2027-03-08 06:00}]")),
        changed(("wells_in_rotation: 2", "wells_in_rotation: [1, 3]")),
        changed(("{lognormal: {P10: 90 min, P90: 210 min}}", "from design")),
        changed(("{lognormal: {P10: 90 min, P90: 210 min}}", "{from_design: {factor: {uniform: [1, 2]}, plus: 0}}")),
        changed(("{lognormal: {P10: 90 min, P90: 210 min}}", "{by_stage: [1 h, {pert: [1 h, 2 h, 3 h]}]}")),
    ],
)
def test_a_good_file_fits(tmp_path: Path, text: str) -> None:
    """Shared values, a table, short forms, one entry or several: as people write it."""
    assert fits(written(tmp_path, text), SCHEMA)


@pytest.mark.parametrize(
    "section",
    [
        "troubles: {screen-out: {}, pump failure: {}, misrun: {chance: 3 %}, stuck bit: {every: 90 h, then: repeat}}",
        "troubles: {power cut: {strikes: trip in, chance: 1 %, lost: {pert: [1 h, 2 h, 9 h]}}}",
        "troubles: {fluid end: {strikes: pumps}}",
        "weather: {table: seattle.csv, stops: {crane: wind > 35 mph or lightning}, stand_down: 0}",
        "weather: {table: {file: x.csv, units: {wind: mph}, gaps: as the day before}, start_years: 2012, stops: {}}",
        "weather: {spells: {other_months: {good: 90 h, bad: 0}}, start_years: [2012, 2014], stops: {}}",
        "weather: {table: {first: 2012-02-28, every: 24 h, rain: 0 3.5 0 0}, stops: {haulage: rain > 4 mm}}",
        "shifts: {}",
        "shifts: {crew_change: 0, first_at: 06:00, every: 8 h}",
        "facility: {limit: 3 kbbl/day}",
    ],
)
def test_a_good_section_fits(tmp_path: Path, section: str) -> None:
    """What may stand beside wells and units, in each of its forms."""
    assert fits(written(tmp_path, f"{PAD}{section}\n"), SCHEMA)


@pytest.mark.parametrize(
    "section",
    [
        "troubles: {power cut: {}}",
        "troubles: {power cut: {strikes: trip in, chance: 1 %}}",
        "troubles: {power cut: {strikes: trip, chance: 1 %, lost: 2 h}}",
        "troubles: {power cut: {strikes: pumps, chance: 1 %, lost: 2 h}}",
        "troubles: {a.b: {strikes: pumps}}",
        "troubles: {misrun: {chanse: 3 %}}",
        "troubles: {misrun: {chance: 0.03}}",
        "troubles: {pump failure: {chance: 3 %}}",
        "troubles: [misrun]",
        "trouble_factor: 101",
        "weather: {table: seattle.csv}",
        "weather: {table: {columns: {}}, stops: {}}",
        "weather: {table: {file: x.csv, units: {wind: degF}}, stops: {}}",
        "weather: {spells: {march: {good: 90 h}}, stops: {}}",
        "weather: {spells: {smarch: {good: 90 h, bad: 1 h}}, stops: {}}",
        "weather: {table: seattle.csv, stops: {cranes: lightning}}",
        "shifts: {every: 8}",
        "facility: {}",
    ],
)
def test_a_slip_in_a_section_does_not_fit(tmp_path: Path, section: str) -> None:
    """An editor marks it at once."""
    assert not fits(written(tmp_path, f"{PAD}{section}\n"), SCHEMA)


@pytest.mark.parametrize("file", sorted((ROOT / "scenarios").glob("*.yaml")), ids=lambda file: file.stem)
def test_demo_scenarios_fit(file: Path) -> None:
    """An editor finds nothing wrong with the scenarios that come with the project."""
    assert fits(plain(read_yaml(file)[0]), SCHEMA)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("horizon: 240 day", "horizn: 240 day"),
        ("horizon: 240 day", "horizon: 240"),
        ("start: 2027-03-01 06:00", "start: 1/3/2027"),
        ("start: 2027-03-01 06:00\n", ""),
        ("stages: 50", "stages: 501"),
        ("stages: 50", "stages: many"),
        ("stages: 50", "name: Heron"),
        ("{name: Heron 1,", "{colour: red, name: Heron 1,"),
        ("{name: Heron 1, ", "{"),
        ("toe: {time: 5 h}", "toe: wet sho"),
        ("{lognormal: {P10: 90 min, P90: 210 min}}", "{lognormal: {mean: 90 min}}"),
        ("{lognormal: {P10: 90 min, P90: 210 min}}", "{from_design: {factor: {lognormal: {mean: 0, cv: 1}}}}"),
        ("{triangular: [4 day, 6 day, 12 day]}", "{triangular: [4 day, 6 day]}"),
        ("{triangular: [4 day, 6 day, 12 day]}", "{triangular: [4 day, 6 day, 12 day], pert: [1 h, 2 h, 3 h]}"),
        ("start_rule: full stage on hand", "start_rule: full stage"),
        ("  transfer: {limit: 70 kbbl/day, lay: 36 h}", "  transfer: {lay: 36 h}"),
        ("  wireline_units: {count: 2, run_in: 250 ft/min}\n", ""),
        ("  sequential: {strategy.wells_in_rotation: 1}", "  sequential: 1"),
        ("  preparation_crews: {count: 1, hours: day shift}", "  preparation_crews: {does: milling}"),
        ("  preparation_crews: {count: 1, hours: day shift}", "  preparation_crews: {does: []}"),
        ("{count: 2, run_in: 250 ft/min}", "{learning: {doubling: 0.95}}"),
        ("{name: Heron 1,", "{name: Heron 1, pressure: {margin: 0.1},"),
        ("{name: Heron 1,", "{name: Heron 1, production: {peak: 1100 bbl/day, b: 4},"),
    ],
)
def test_a_slip_does_not_fit(tmp_path: Path, old: str, new: str) -> None:
    """What the door would refuse for its form, an editor marks at once."""
    assert not fits(written(tmp_path, changed((old, new))), SCHEMA)


def test_keys_tell_their_meaning_default_and_source() -> None:
    """Hovering over a key tells what the list of defaults tells."""
    definitions = SCHEMA["$defs"]
    turnaround = definitions["WirelineUnit"]["properties"]["turnaround"]
    assert turnaround["description"] == (
        "tool string, lubricator, pressure test and hand-over, a run; default: 40 min (common practice)"
    )
    assert turnaround["default"] == "40 min"
    assert definitions["Well"]["properties"]["rig_release"]["description"] == (
        "when the drilling rig is off; default: before the start (assumption)"
    )
    assert definitions["TriangularOfTime"]["description"] == "Lowest, most likely, highest."
    assert definitions["Pressure"]["properties"]["margin"]["description"] == (
        "how far treating stays below the rating; default: 10 % (common practice)"
    )
    assert definitions["PumpFailure"]["properties"]["every"]["description"] == (
        "mean pumping hours of one pump between failures; default: 100 h (common practice)"
    )
    assert SCHEMA["properties"]["weather"]["description"] == (
        "the weather that stops work; default: never stops work (assumption)"
    )


@pytest.mark.parametrize("name", USUAL)
def test_a_usual_trouble_tells_its_figures(name: str) -> None:
    """Hovering over a usual name tells what it stands for."""
    described = SCHEMA["properties"]["troubles"]["properties"][name]["description"]
    assert described == f"usually {as_written(USUAL[name])}"


def test_the_schema_is_plain_json() -> None:
    """It can be written down, names its draft, and refers only to what it holds."""
    text = json.dumps(SCHEMA)
    assert json.loads(text) == SCHEMA
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    referred = set(re.findall(r'"#/\$defs/([^"]+)"', text))
    assert referred == set(SCHEMA["$defs"])
    assert all(re.fullmatch(r"[A-Za-z]+", name) for name in SCHEMA["$defs"])


@pytest.mark.parametrize("stated", [0, 0.0, "0 %", "5 %"])
def test_share_may_be_a_bare_zero_as_when_it_is_read(stated: object) -> None:
    """Nothing is nothing, with or without the sign; any other bare number is refused by both."""
    share = TypeAdapter(Share)
    assert share.validate_python(stated) in {0, 0.05}
    assert fits(stated, share.json_schema())


@pytest.mark.parametrize(("kind", "stated"), [(Share, 0.05), (ShareBelowAll, 1), (ShareAboveNone, 0), (Share, False)])
def test_other_bare_numbers_are_no_share_to_either(kind: Any, stated: object) -> None:
    """0.05 may mean 5 % or 0.05 %; a share above none cannot be zero."""
    with pytest.raises(ValidationError):
        TypeAdapter(kind).validate_python(stated)
    assert not fits(stated, TypeAdapter(kind).json_schema())
