"""Rows of a log looked at one by one: whether every cell is there, and is a date, a word or a stage of this plan."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache
from typing import TYPE_CHECKING

from analysis.field.findings import Finding
from analysis.field.vocabulary import OF_A_STAGE, OF_NO_UNIT, Vocabulary
from sim.scenario.problems import did_you_mean

if TYPE_CHECKING:
    import pandas as pd

    Mask = pd.Series[bool]

CELLS = ("start", "end", "unit", "activity", "well", "stage_text", "cause")
FAR_H = 24 * 366 * 10  # a date so far from the plan's start is a slip


def check_cells(timed: pd.DataFrame, known: Vocabulary) -> tuple[pd.DataFrame, list[Finding]]:
    """The rows of which every cell makes sense, with `stage` as a number, and what is wrong with the others."""
    rows = timed.assign(stage_text=timed["stage"], stage=_stages(timed["stage"]))
    checks = (_repeated, _dates, _missing, _unknown, _stage_faults)
    findings = [finding for check in checks for finding in check(rows, known)]
    wrong = {finding.row for finding in findings if finding.left_out}
    sound = rows[~rows["row"].isin(wrong)]
    return sound.assign(stage=sound["stage"].fillna(0).astype(int)), findings


def _stages(cells: pd.Series[str]) -> pd.Series[float]:
    """Numbers; NaN where there is none."""
    import pandas as pd

    whole = cells.str.fullmatch(r"\d{1,4}(\.0+)?")
    return pd.to_numeric(cells.where(whole, None), errors="coerce")


def found(rows: pd.DataFrame, mask: Mask, column: str, message: str | Iterable[str], kind: str) -> list[Finding]:
    """A finding for each row of the mask; `message` is one for all, or one for each of them."""
    hit = rows[mask]
    messages = [message] * len(hit) if isinstance(message, str) else message
    values = hit[column] if column else [None] * len(hit)
    return [
        Finding(int(row), column, said, kind, value)
        for row, said, value in zip(hit["row"], messages, values, strict=True)
    ]


def _repeated(rows: pd.DataFrame, _: Vocabulary) -> list[Finding]:
    """Rows that say what a row before them says already."""
    again = rows.duplicated(list(CELLS), keep="first")
    if not again.any():
        return []
    first = rows.groupby(list(CELLS), sort=False)["row"].transform("first")[again]
    return found(rows, again, "", [f"the same as row {row:.0f}" for row in first], "repeated rows")


def _dates(rows: pd.DataFrame, _: Vocabulary) -> list[Finding]:
    findings = []
    for name in ("start", "end"):
        fault = rows[f"{name}_fault"]
        findings += found(rows, fault != "", name, fault[fault != ""], "unreadable dates")
        far = rows[f"{name}_h"].abs() > FAR_H
        findings += found(rows, far, name, "more than ten years from the start of the plan", "impossible dates")
    return findings + _negative(rows)


def _negative(rows: pd.DataFrame) -> list[Finding]:
    negative = rows["end_h"] < rows["start_h"]
    hours = (rows["start_h"] - rows["end_h"])[negative]
    return found(rows, negative, "end", [f"ends {h:.1f} h before it starts" for h in hours], "negative durations")


def _missing(rows: pd.DataFrame, known: Vocabulary) -> list[Finding]:
    """Empty cells that must not be; an empty end is for those to judge who look at what follows."""
    activity = rows["activity"]
    needed = {
        "start": activity.notna(),
        "activity": activity.notna(),
        "unit": ~activity.isin(OF_NO_UNIT),
        "well": activity.isin(known.activities) & ~activity.isin(known.without_well),
        "stage_text": activity.isin(OF_A_STAGE),
    }
    findings = []
    for name, needs in needed.items():
        empty = found(rows, needs & (rows[name] == ""), name, "missing", "missing cells")
        findings += [finding._replace(column=name.removesuffix("_text"), value=None) for finding in empty]
    return findings


def _unknown(rows: pd.DataFrame, known: Vocabulary) -> list[Finding]:
    """Words that this plan does not know, with the closest that it does."""
    findings = []
    for column, words in (("unit", known.units), ("activity", known.activities), ("well", tuple(known.stages))):
        strange = (rows[column] != "") & ~rows[column].isin(words)
        hints = [f"not known in this plan{_closest(word, words)}" for word in rows.loc[strange, column]]
        findings += found(rows, strange, column, hints, "unknown words")
    return findings


@lru_cache(maxsize=4096)
def _closest(word: str, words: tuple[str, ...]) -> str:
    return did_you_mean(word, words)


def closest(word: str, words: tuple[str, ...]) -> str:
    """The word itself, or if it is not among those known, the likeliest of them."""
    return word if word in words or not word else next(iter(get_close_matches(word[:80], words, n=1)), word)


def _stage_faults(rows: pd.DataFrame, known: Vocabulary) -> list[Finding]:
    """Stages that are no number, or that the well does not have."""
    stated, stage = rows["stage_text"] != "", rows["stage"]
    no_number = stated & stage.isna()
    most = rows["well"].map(known.stages).astype(float)
    beyond = stage > most
    said = [f"{well} has {most:.0f} stages" for well, most in zip(rows.loc[beyond, "well"], most[beyond], strict=True)]
    findings = found(rows, no_number, "stage_text", "expected a whole number", "impossible stages")
    findings += found(rows, beyond, "stage_text", said, "impossible stages")
    return [finding._replace(column="stage") for finding in findings]
