"""Setting one figure of a trouble by its path, though nothing but its usual name may be stated."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import Document, Place, load, read, set_path, validate
from tests.scenario.files import changed, said

HERE = Place("sweep", 0)


def document(folder: Path, troubles: str) -> Document:
    """The pad with these troubles."""
    file = folder / "pad.yaml"
    file.write_text(changed(("water:\n", f"troubles: {{{troubles}}}\nwater:\n")))
    return read(file)


@pytest.mark.parametrize("written", ["misrun: {}", "misrun: {chance: 4 %}", "misrun: {every: 90 h}", "misrun: null"])
@pytest.mark.parametrize(("key", "value", "found"), [("chance", "9 %", (0.09, None)), ("every", "50 h", (None, 50))])
def test_trouble_is_made_as_often_as_a_path_says(
    tmp_path: Path, written: str, key: str, value: str, found: tuple[float | None, float | None]
) -> None:
    """By chance or by hours, however it was stated or usual before; what else is usual stays usual."""
    misrun = validate(set_path(document(tmp_path, written), f"troubles.misrun.{key}", value, HERE)).troubles["misrun"]
    assert (getattr(misrun, "chance", None), misrun.every) == found
    assert misrun.model_fields_set == {key}
    assert (getattr(misrun, "lost", None), getattr(misrun, "then", None)) == (1.0, "repeat")


def test_alternative_changes_one_figure_of_a_trouble(tmp_path: Path) -> None:
    """Below the bare names of usual troubles, of an activity and of the pumps, in the file itself."""
    text = changed(
        ("water:\n", "troubles: {misrun: {}, pump failure: {}}\nwater:\n"),
        (
            "alternatives:\n",
            "alternatives:\n  bad luck: {troubles.misrun.chance: 9 %, troubles.pump failure.repair: 9 h}\n",
        ),
    )
    (tmp_path / "pad.yaml").write_text(text)
    troubles = load(tmp_path / "pad.yaml", "bad luck").troubles
    assert getattr(troubles["misrun"], "chance", None) == 0.09
    assert (troubles["pump failure"].every, getattr(troubles["pump failure"], "repair", None)) == (100, 9)
    assert getattr(load(tmp_path / "pad.yaml").troubles["misrun"], "chance", None) == 0.02


@pytest.mark.parametrize(
    ("path", "why"),
    [
        (
            "troubles.misrunn.chance",
            "nothing there is called 'misrunn'; did you mean 'misrun'; known there: misrun, pump",
        ),
        ("troubles.misrun.repair", "nothing there is called 'repair'; known there: strikes, chance, every, lost, then"),
        (
            "troubles.pump failure.chance",
            "nothing there is called 'chance'; known there: strikes, every, repair, repair",
        ),
    ],
)
def test_path_to_what_a_trouble_has_not_is_told(tmp_path: Path, path: str, why: str) -> None:
    """Pumps have other figures than activities."""
    text = changed(
        ("water:\n", "troubles: {misrun: {}, pump failure: {}}\nwater:\n"),
        ("alternatives:\n", f"alternatives:\n  odd: {{{path}: 9 %}}\n"),
    )
    (line,) = said(tmp_path, text)
    assert line.startswith(f"pad.yaml:35: alternatives.odd.{path}: unknown path: {why}")
