"""Sheets for a batch: the count that an out folder was built for, and the episode of that sheet."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from studio.compute.batch import MOST, Batch
from studio.episode.records import Episode
from studio.errors import BadInput
from studio.measure.listing import records

RECORD = "batch.json"
"""The batch's measurements for scripts, and how many pieces the folder was built for."""

_MAX_BYTES = 4_000_000


def pieces_of(typed: str) -> int:
    """How many pieces ``--count`` asks for.

    Raises:
        BadInput: no whole number from 1 to 10,000.
    """
    tidy = typed.strip().replace(",", "")
    if not (tidy.isascii() and tidy.isdigit() and len(tidy) <= len(str(MOST))) or not (
        1 <= int(tidy) <= MOST
    ):
        raise BadInput.of(
            f"--count {typed[:40]}: that many pieces are no batch",
            f"write a whole number from 1 to {MOST:,}, such as --count 24",
        )
    return int(tidy)


def pieces_in(out: Path) -> int | None:
    """How many pieces an out folder was built for; None where it holds no sheet for a batch."""
    path = out / RECORD
    try:
        if path.stat().st_size > _MAX_BYTES:
            return None
        pieces = json.loads(path.read_text(encoding="utf-8"))["pieces"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    is_count = isinstance(pieces, int) and not isinstance(pieces, bool)
    return pieces if is_count and 1 <= pieces <= MOST else None


def batch_records(batch: Batch) -> list[dict[str, object]]:
    """The batch's own measurements."""
    return [one for one in records(batch.table) if str(one["name"]).startswith("batch.")]


def batch_record(episode: Episode) -> str:
    """The batch as JSON, ending in a line feed; empty without one."""
    batch = episode.batch
    if batch is None:
        return ""
    told = {"pieces": batch.pieces, "measurements": batch_records(batch)}
    return json.dumps(told, ensure_ascii=False, indent=2) + "\n"


def as_batch(episode: Episode) -> Episode:
    """The episode as the sheet for its batch has it: with the batch's table and schedules.

    Raises:
        ValueError: it has no batch.
    """
    if episode.batch is None:
        raise ValueError("an episode without a batch")
    return replace(episode, table=episode.batch.table, schedules=episode.batch.schedules)
