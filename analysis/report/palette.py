"""Colours of the page, light and dark: each ink with the ground that it stands on, to be held to WCAG AA by a test."""

from __future__ import annotations

from collections.abc import Mapping

LIGHT: Mapping[str, str] = {
    "ground": "#FBFAF7",
    "card": "#FFFFFF",
    "band": "#E9F3F0",
    "alarm": "#FBE9EC",
    "rule": "#D9D6CD",
    "ink": "#20262B",
    "quiet": "#565D63",
    "accent": "#0F5C4E",
    "alarm-ink": "#8A1C34",
}
DARK: Mapping[str, str] = {
    "ground": "#14191C",
    "card": "#1C2327",
    "band": "#17302B",
    "alarm": "#3A1A21",
    "rule": "#38424A",
    "ink": "#E8E6E0",
    "quiet": "#AEB6BC",
    "accent": "#7FD3C0",
    "alarm-ink": "#FFB3C0",
}
PAPER: Mapping[str, str] = {
    **LIGHT, "ground": "#FFFFFF", "band": "#FFFFFF", "alarm": "#FFFFFF", "ink": "#000000", "quiet": "#444444"
}  # fmt: skip
TEXT_ON: tuple[tuple[str, str], ...] = (
    *((ink, ground) for ink in ("ink", "quiet", "accent") for ground in ("ground", "card", "band")),
    ("alarm-ink", "alarm"),
    ("ink", "alarm"),
    ("quiet", "alarm"),
)
"""Which ink stands on which ground."""


def variables(colours: Mapping[str, str]) -> str:
    """As custom properties of a style sheet."""
    return " ".join(f"--{name}: {colour};" for name, colour in colours.items())
