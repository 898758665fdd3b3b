"""The versions on which equal results depend."""

from __future__ import annotations

import platform
from functools import cache
from importlib import metadata


@cache
def versions() -> dict[str, str]:
    """Those in use here, by name: padtempo, python, numpy and simpy."""
    return {
        "padtempo": metadata.version("padtempo"),
        "python": platform.python_version(),
        "numpy": metadata.version("numpy"),
        "simpy": metadata.version("simpy"),
    }


def that_differ(here: dict[str, str], there: dict[str, str]) -> dict[str, tuple[str, str]]:
    """Versions that may change a number, where they differ: name, here, there.

    Of Python the third figure changes no arithmetic: 3.11.7 goes on with what 3.11.9 began.
    """
    pairs = {name: (here[name], there.get(name, "none")) for name in here}
    return {name: pair for name, pair in pairs.items() if _that_matters(name, pair[0]) != _that_matters(name, pair[1])}


def _that_matters(name: str, version: str) -> str:
    return ".".join(version.split(".")[:2]) if name == "python" else version
