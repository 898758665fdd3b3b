"""Where in a scenario a value is to be put, so that it holds for the wells or units it was observed on."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sim.scenario.document import Document, Node
from sim.scenario.equipment import Unit, individuals
from sim.scenario.scenario import Scenario


def well_paths(document: Document, scenario: Scenario, wells: Collection[str], leaf: str) -> tuple[str, ...]:
    """Paths of the same value of some wells: shared by all if it is all, and none of them states its own."""
    names = [well.name for well in scenario.wells]
    if set(wells) == set(names) and not any(_states(node, leaf) for node in _well_nodes(document)):
        return (f"well_defaults.{leaf}",)
    return tuple(f"wells.{name}.{leaf}" for name in names if name in wells)


def _well_nodes(document: Document) -> list[Node]:
    wells = document.root.value.get("wells")
    return wells.value if wells is not None and isinstance(wells.value, list) else []


def _states(node: Node | None, leaf: str) -> bool:
    for step in leaf.split("."):
        node = node.child(step) if node is not None else None
    return node is not None


def unit_paths(scenario: Scenario) -> dict[str, tuple[str, Unit, str | None]]:
    """Unit -> kind, entry, and path of its entry; None where several entries have no name to go by."""
    found: dict[str, tuple[str, Unit, str | None]] = {}
    for kind, entries in scenario.units.kinds.items():
        for entry in entries:
            path = _entry_path(kind, entries, entry)
            found |= {name: (kind, each, path) for name, each in individuals(entries) if each is entry}
    return found


def _entry_path(kind: str, entries: Sequence[Unit], entry: Unit) -> str | None:
    if len(entries) == 1:
        return f"units.{kind}"
    return f"units.{kind}.{entry.name}" if entry.name else None
