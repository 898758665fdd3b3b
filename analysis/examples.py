"""The scenarios that come with the tool."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def starter() -> str:
    """Text of the annotated starter scenario."""
    return _text("starter.yaml")


def _text(name: str) -> str:
    """From the installed package, or from the checkout that the package was installed from."""
    packed = files("analysis") / "scenarios" / name
    if packed.is_file():
        return packed.read_text(encoding="utf-8")
    return (Path(__file__).parent.parent / "scenarios" / name).read_text(encoding="utf-8")
