"""The where command from end to end: load, refuse what cannot work, play, show where the days go, leave the files."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from rich.console import Console

from analysis.chains.chain import Chain, chain_to
from analysis.chains.chain_summary import WhereDaysGo, where_days_go
from analysis.chains.chain_terminal import show_where
from analysis.forecasting.forecast import NothingPlayedError, to_its_end
from analysis.goals import Goal, goal_of
from analysis.progress import Progress
from sim.replications import replicate
from sim.scenario import load, read, stated

if TYPE_CHECKING:
    from analysis.runs.run_directory import RunDirectory


class WhereOrder(NamedTuple):
    """What was asked for on the command line."""

    file: Path
    alternative: str | None
    milestone: str
    replications: int
    seed: int
    workers: int
    out: Path | None
    overwrite: bool


def carry_out_where(order: WhereOrder, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative)
    goal = goal_of(scenario, order.milestone)
    run, manifest = _directory(order, goal)
    with Progress(order.replications, sys.stderr) as progress:
        hear = _hearing(run, progress)
        chains = replicate(
            scenario, order.replications, order.seed, order.workers, partial(chain_to, goal), hear
        ).results
    if not chains:
        raise NothingPlayedError("stopped before the first replications were done")
    where = where_days_go(scenario, goal, order.seed, order.replications, chains)
    show_where(where, console)
    if where.interrupted:
        console.print(f"Stopped: {where.played} of {where.asked} replications were done.", style="bold")
    if run is not None:
        _leave_files(run, manifest, where)
        drawn = ", pictures" if run.pictures.is_dir() else ""
        console.print(f"\nIn {run.path}: summary.json, manifest.json, tables{drawn}.")
    return not where.interrupted


def _directory(order: WhereOrder, goal: Goal) -> tuple[RunDirectory | None, dict[str, Any]]:
    """The run directory if one is asked for, and what the run is; the file may be changed while it goes on."""
    if order.out is None:
        return None, {}
    from analysis.runs.run_directory import create, write_manifest
    from analysis.runs.run_manifest import manifest_of

    plan, asked = (
        stated(read(order.file, order.alternative)),
        {"alternative": order.alternative, "milestone": goal.name},
    )
    manifest = manifest_of("where", plan, order.seed, order.replications, asked)
    run = create(order.out, order.overwrite)
    write_manifest(run, manifest)
    return run, manifest


def _hearing(run: RunDirectory | None, progress: Progress) -> Callable[[int, list[Chain]], None]:
    def hear(chunk: int, chains: list[Chain]) -> None:
        if run is not None:
            with to_its_end():
                _write(run, chunk, chains)
        progress.advance(len(chains))

    return hear


def _write(run: RunDirectory, chunk: int, chains: list[Chain]) -> None:
    from analysis.runs.run_directory import write_part

    write_part(run, "chain_pieces", chunk, [piece for chain in chains for piece in chain.pieces])
    write_part(run, "chain_ends", chunk, [chain.end for chain in chains])  # last: says that the chunk is done


def _leave_files(run: RunDirectory, manifest: dict[str, Any], where: WhereDaysGo) -> None:
    from analysis.chains.chain_exports import chain_summary_of
    from analysis.runs.run_directory import write_manifest, write_summary

    write_summary(run, chain_summary_of(where))
    if where.days is not None:
        from analysis.chains.chain_pictures import draw_where  # matplotlib, which the terminal does not need

        draw_where(where, where.days, run.pictures)
    write_manifest(run, manifest | {"replications_done": where.played})
