"""From a file to a scenario, or to everything that is wrong with it at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from sim.scenario.choice_checks import faults_of_choices
from sim.scenario.consistency import ALL_PARTS, inconsistencies, repeated
from sim.scenario.document import Document, Node, Place, nearest, node_of, plain, problem_at
from sim.scenario.feasibility import Finding
from sim.scenario.fields import typed
from sim.scenario.merging import merged
from sim.scenario.messages import Fault, explained
from sim.scenario.patches import set_path, with_alternative, with_patches
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.scenario import MOST_ALTERNATIVES, Scenario
from sim.scenario.uncertain import faults_of_uncertain
from sim.scenario.weather_table import with_weather
from sim.scenario.wells_table import read_wells
from sim.scenario.written import shortened, shown
from sim.scenario.yaml_text import What, read_yaml

TABLES = frozenset({"wells", "weather", "weather.table"})  # where a plan may name one
PATCH = What("patch", "paths with their values", "strategy.swap.time: 25 min")


def load(
    path: str | Path,
    alternative: str | None = None,
    patch: str | Path | None = None,
    text: str | None = None,
    *,
    confined: bool = False,
) -> Scenario:
    """The scenario in the file, with the values of a patch file, as patched by the alternative if one is named.

    With `text`, what would be in the file once that is saved. `confined` refuses tables outside the file's folder.
    Raises ScenarioError with all that is wrong with the file, its table of wells and every one of its alternatives.
    """
    return validate_all(read(path, patch=patch, text=text, confined=confined), alternative)


def read(
    path: str | Path,
    alternative: str | None = None,
    patch: str | Path | None = None,
    text: str | None = None,
    *,
    confined: bool = False,
) -> Document:
    """The file as written, with its table of wells, patched by a patch file and then by the alternative, if named.

    A patch file holds paths with their values, as an alternative does. `text` and `confined` as in `load`. Raises
    ScenarioError where nothing can be read; lesser problems stay in the document until it is validated.
    """
    root, problems = read_yaml(Path(path), text=text)
    document = _with_tables(Document(root, Path(path).parent, problems, confined))
    if patch is not None:
        document = _with_patch_file(document, Path(patch))
    unknown = _unknown_alternative(document, alternative)
    if unknown:
        raise ScenarioError([*document.problems, *unknown])
    return document if alternative is None else _patched(document, alternative)


def changed(document: Document, changes: Iterable[tuple[str, Any]], place: Place) -> Document:
    """The document with each value set at its path, one after the other, as if written at `place`.

    Tables that a change names are read. Raises ScenarioError where a path leads nowhere.
    """
    for path, value in changes:
        document = set_path(document, path, value, place)
    return _with_tables(document)


def validate(document: Document) -> Scenario:
    """The scenario that the document states. Raises ScenarioError with all that is wrong with it."""
    return _unless(*_judged(document))


def validate_all(document: Document, alternative: str | None = None) -> Scenario:
    """The scenario of the document, as patched by the alternative if one is named; every alternative is validated."""
    problems, scenario = _judged(document)
    of_base = set(problems)
    for name in [] if _incomplete(document) else _alternatives(document)[:MOST_ALTERNATIVES]:
        found, patched = _judged(_patched(document, name))
        problems += [_told_of(name, problem) for problem in found if problem not in of_base]
        scenario = patched if name == alternative else scenario
    return _unless(problems + _unknown_alternative(document, alternative), scenario)


def load_stated(data: Mapping[str, Any], alternative: str | None = None) -> Scenario:
    """A scenario from plain data, such as `stated` gives; problems are placed in `scenario`, without lines."""
    document = _with_tables(Document(node_of(dict(data), Place("scenario", 0))))
    unknown = _unknown_alternative(document, alternative)
    if unknown:
        raise ScenarioError(unknown)
    return validate(document if alternative is None else _patched(document, alternative))


def stated(document: Document) -> dict[str, Any]:
    """The document as plain data fit for JSON, with its tables and those of its alternatives written out."""
    values: dict[str, Any] = plain(document.root)
    for name in _alternatives(document):
        patches = values["alternatives"][name]
        if not TABLES.isdisjoint(patches):
            values["alternatives"][name] = patches | _tables_in(_patched(document, name).root, patches, document.root)
    return values


def _tables_in(patched: Node, patches: Mapping[str, Any], base: Node) -> dict[str, Any]:
    """What stands in the patched scenario where the patches name tables.

    A reading that the weather table of the base has and the other has not is said to be none, or it would stay.
    """
    weather = ("weather", "table")
    found = {path: plain(nearest(patched, tuple(path.split(".")))) for path in TABLES & set(patches)}
    readings, none = (plain(nearest(root, weather)) for root in (patched, base))
    if isinstance(readings, dict) and isinstance(none, dict):
        whole = dict.fromkeys(none) | readings
        for path in {"weather", "weather.table"} & set(found):
            found[path] = whole if path == "weather.table" else found[path] | {"table": whole}
    return found


def _unless(problems: list[Problem], scenario: Scenario | None) -> Scenario:
    if problems or scenario is None:
        raise ScenarioError(problems)
    return scenario


def _with_tables(document: Document) -> Document:
    """The document with what its tables of wells and weather hold in the place of their names."""
    return _with_wells(with_weather(document))


def _with_wells(document: Document) -> Document:
    wells = document.root.value.get("wells")
    if wells is None or not isinstance(wells.value, str):
        return document
    try:
        rows, problems = _rows(document, wells)
    except ScenarioError as error:
        return replace(document, problems=(*document.problems, *(_in_file(each, wells) for each in error.problems)))
    root = Node({**document.root.value, "wells": rows}, document.root.place)
    return replace(document, root=root, problems=(*document.problems, *problems))


def _rows(document: Document, wells: Node) -> tuple[Node, tuple[Problem, ...]]:
    if document.folder is None:
        raise ScenarioError([problem_at(wells.place, "a table needs a scenario file beside it; expected a list")])
    return read_wells(document.beside(wells.value, wells))


def _in_file(problem: Problem, wells: Node) -> Problem:
    """A problem with a table that is not there is a problem with its name."""
    return problem if problem.line else problem_at(wells.place, problem.message, shown(wells.value))


def _patched(document: Document, alternative: str) -> Document:
    return _with_tables(with_alternative(document, alternative))


def _with_patch_file(document: Document, file: Path) -> Document:
    patches, problems = read_yaml(file, PATCH)
    known = replace(document, problems=(*document.problems, *problems))
    return _with_tables(with_patches(known, patches))


def _alternatives(document: Document) -> list[str]:
    """Alternatives that can be applied: their patches are a mapping, and there are wells to patch."""
    entries = document.root.value
    if "alternatives" not in entries or not isinstance(entries["alternatives"].value, dict):
        return []
    alternatives = entries["alternatives"].value
    return [name for name, patches in alternatives.items() if isinstance(patches.value, dict)]


def _unknown_alternative(document: Document, name: str | None) -> list[Problem]:
    known = _alternatives(document)
    if name is None or name in known:
        return []
    place = nearest(document.root, ("alternatives",)).place
    options = (
        f"known alternatives: {', '.join(shortened(each) for each in known)}" if known else "the scenario states none"
    )
    return [problem_at(place, f"no such alternative{did_you_mean(name, known)}; {options}", shown(name))]


def _told_of(alternative: str, problem: Problem) -> Problem:
    if problem.where.startswith("alternatives."):
        return problem
    return problem._replace(message=f"{problem.message} (under alternative '{shortened(alternative)}')")


def _judged(document: Document) -> tuple[list[Problem], Scenario | None]:
    """All that is wrong with the document, and its scenario if nothing is."""
    whole = merged(document)
    data, problems = plain(whole.root), list(whole.problems)
    scenario, faults = _validated(data)
    sound = ALL_PARTS - {str(fault["loc"][0]) for fault in faults} - _incomplete(document)
    problems += explained(_own(faults, data), whole.root, document.root)
    problems += explained(_faults_of_defaults(document.root), _as_well(document.root), document.root)
    findings = inconsistencies(_of_sound_parts(data, sound) if scenario is None else scenario, sound)
    if "wells" not in sound:
        findings += _repeated_wells(data)
    problems += [*faults_of_uncertain(document), *faults_of_choices(document)]
    problems += [_placed(finding, whole.root, document.root) for finding in findings]
    return problems, None if problems else scenario


def _validated(data: dict[str, Any]) -> tuple[Scenario | None, list[Fault]]:
    try:
        return Scenario.model_validate(data), []
    except ValidationError as error:
        return None, [dict(fault) for fault in error.errors(include_url=False)]


def _own(faults: list[Fault], data: dict[str, Any]) -> list[Fault]:
    """Faults but for the one that a table of wells is no list: what is wrong with the table is said already."""
    return [fault for fault in faults if fault["loc"] != ("wells",) or not isinstance(data.get("wells"), str)]


def _incomplete(document: Document) -> set[str]:
    """Wells, where their table could not be read throughout."""
    wells = document.root.value.get("wells")
    if wells is None or wells.place.file == document.root.place.file:
        return {"wells"} if wells is not None and isinstance(wells.value, str) else set()
    return {"wells"} if any(problem.file == wells.place.file for problem in document.problems) else set()


def _as_well(root: Node) -> Node:
    """A scenario of which the only well is what its wells share."""
    defaults = root.value.get("well_defaults", Node(None, root.place))
    return Node({"wells": Node([defaults], root.place)}, root.place)


def _faults_of_defaults(root: Node) -> list[Fault]:
    """What is wrong with defaults in themselves, though every well may state something else."""
    data = plain(_as_well(root))
    if not isinstance(data["wells"][0], dict):
        return []
    _, faults = _validated(data)
    in_defaults = [fault for fault in faults if len(fault["loc"]) > 2 and fault["loc"][0] == "wells"]
    return [fault for fault in in_defaults if fault["type"] != "missing" and fault["loc"][2] != "name"]


@cache
def _adapter(part: str) -> TypeAdapter[Any]:
    return TypeAdapter(typed(Scenario.model_fields[part]))


def _of_sound_parts(data: dict[str, Any], sound: frozenset[str]) -> Scenario:
    """A scenario of which only the sound parts are there to be looked at."""
    parts = {part: _adapter(part).validate_python(data[part]) for part in sound & set(data)}
    for part in sound - set(data):
        default = Scenario.model_fields[part].get_default(call_default_factory=True)
        parts[part] = _adapter(part).validate_python(default)
    return Scenario.model_construct(**parts)


def _repeated_wells(data: dict[str, Any]) -> list[Finding]:
    wells = data.get("wells")
    names = [well.get("name") if isinstance(well, dict) else None for well in wells] if isinstance(wells, list) else []
    texts = [str(name) if isinstance(name, (str, int)) else None for name in names]
    return [Finding(("wells", number, "name"), message) for number, message in repeated(texts)]


def _placed(finding: Finding, root: Node, written: Node) -> Problem:
    node = nearest(root, finding.steps)
    value = None if isinstance(node.value, (dict, list)) else shown(node.value)
    return problem_at(node.place, finding.message, value, written)
