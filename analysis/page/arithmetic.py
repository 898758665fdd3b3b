"""The arithmetic of a stage, for who points at it on the bars of a run."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analysis.page.folder import NotAllowedError


def arithmetic_of(manifest: Mapping[str, Any], well: Any, stage: Any) -> list[list[str]]:
    """Lines of what, how it is reckoned and what comes out. Raises NotAllowedError where there is no such stage."""
    from analysis.checking.explain import explain
    from analysis.checking.explanation import NoSuchStageError, find_stage
    from sim.scenario import load_stated

    if not manifest.get("scenario") or not isinstance(well, str) or type(stage) is not int:
        raise NotAllowedError("expected a stage of a run")
    try:
        return [list(line) for line in explain(find_stage(load_stated(manifest["scenario"]), well, stage))]
    except NoSuchStageError as error:
        raise NotAllowedError(str(error)) from error
