"""The where command from end to end: load, refuse what cannot work, play, show where the days go, leave the files."""

from __future__ import annotations

import sys
from collections import defaultdict
from contextlib import ExitStack, suppress
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from rich.console import Console

from analysis.chains.chain import Chain, EndRow, PieceRow, chain_to
from analysis.chains.chain_summary import WhereDaysGo, where_days_go
from analysis.chains.chain_terminal import show_where
from analysis.goals import Goal, goal_of
from analysis.progress import Progress
from analysis.runs.run_directory import RunDirectory, read_parts, write_manifest, write_part, write_summary
from analysis.runs.run_manifest import manifest_of
from analysis.runs.run_opening import GO_ON, Tables, opened, say_what_is_there
from analysis.runs.stopping import NothingPlayedError, to_its_end
from sim.replications import chunks_of, play
from sim.scenario import Scenario, load, read, stated

TABLES = ("chain_pieces", "chain_ends")


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
    resume: bool = False


def carry_out_where(order: WhereOrder, console: Console) -> bool:
    """Do it. Whatever cannot work is refused before anything is played or written.

    Says whether all was played that was asked for.
    """
    scenario = load(order.file, order.alternative)
    goal = goal_of(scenario, order.milestone)
    asked = {"alternative": order.alternative, "milestone": goal.name}
    plan = stated(read(order.file, order.alternative))
    manifest = manifest_of("where", plan, order.seed, order.replications, asked)
    chunks = chunks_of(order.replications)
    with ExitStack() as stack:
        run, done = None, set[int]()
        if order.out is not None:
            kept = Tables(TABLES, chunks)
            run, done = stack.enter_context(opened(order.out, manifest, order.overwrite, order.resume, kept))
        where = where_days_go(scenario, goal, order.seed, order.replications, _chains(order, scenario, goal, run, done))
        show_where(where, console)
        if where.interrupted:
            console.print(f"Stopped: {where.played} of {where.asked} replications were done.", style="bold")
        if run is not None:
            _leave_files(run, manifest, where)
            drawn = ", pictures" if run.pictures.is_dir() else ""
            console.print(f"\nIn {run.path}: summary.json, manifest.json, tables{drawn}.")
            if where.interrupted:
                console.print(GO_ON)
    return not where.interrupted


def _chains(order: WhereOrder, scenario: Scenario, goal: Goal, run: RunDirectory | None, done: set[int]) -> list[Chain]:
    """The chains of all replications in their order, as far as they were played before Ctrl-C."""
    chunks = chunks_of(order.replications)
    found = {} if run is None else {number: _read(run, number) for number in sorted(done)}
    left = [chunk for chunk in chunks if chunk[0] not in found]
    there = sum(map(len, found.values()))
    say_what_is_there(run, there, order.replications)
    with Progress(order.replications, sys.stderr, there) as progress, suppress(KeyboardInterrupt):
        for _, number, chains in play({"": scenario}, left, order.seed, order.workers, partial(chain_to, goal)):
            with to_its_end():
                if run is not None:
                    _write(run, number, chains)
                found[number] = chains
            progress.advance(len(chains))
    if not found:
        raise NothingPlayedError("stopped before the first replications were done")
    return [chain for number in sorted(found) for chain in found[number]]


def _read(run: RunDirectory, chunk: int) -> list[Chain]:
    pieces, ends = (read_parts(table, [run.parts(table)[chunk]]) for table in TABLES)
    of: dict[int, list[PieceRow]] = defaultdict(list)
    for row in pieces.itertuples(index=False, name=None):
        of[row[0]].append(PieceRow(*row))
    return [Chain(EndRow(*row), of[row[0]]) for row in ends.itertuples(index=False, name=None)]


def _write(run: RunDirectory, chunk: int, chains: list[Chain]) -> None:
    write_part(run, "chain_pieces", chunk, [piece for chain in chains for piece in chain.pieces])
    write_part(run, "chain_ends", chunk, [chain.end for chain in chains])  # last: says that the chunk is done


def _leave_files(run: RunDirectory, manifest: dict[str, Any], where: WhereDaysGo) -> None:
    from analysis.chains.chain_exports import chain_summary_of

    write_summary(run, chain_summary_of(where))
    if where.days is not None:
        from analysis.chains.chain_pictures import draw_where  # matplotlib, which the terminal does not need

        draw_where(where, where.days, run.pictures)
    write_manifest(run, manifest | {"replications_done": where.played})
