"""Which design file an out folder was made of, and how often and when that was published.

It stands in the out folder, so that a folder is not filled from another design without a word, and
a published record that went away, or lost its last entries, is missed.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from studio.episode.published import Record, read_record, record_file
from studio.episode.stamps import day
from studio.errors import BadInput
from studio.files import ready_folder, write_whole

FILE_NAME = ".made-of.json"


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What an out folder was made of.

    Attributes:
        design: the design file, as a path from the folder.
        published: the day on which it was published last, ISO 8601; empty before that.
        times: how many times it had been published by then; 0 where that was not noted.
        corrections: how many its record held when the folder was filled.
    """

    design: str
    published: str = ""
    times: int = 0
    corrections: int = 0


def read_made_of(out: Path) -> MadeOf | None:
    """What a folder says that it was made of; None where it does not say so."""
    try:
        found = json.loads((out / FILE_NAME).read_text(encoding="utf-8"))
        counts = (int(found.get(key, 0)) for key in ("times", "corrections"))
        return MadeOf(str(found["design"]), str(found["published"]), *counts)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _of(out: Path, design: Path) -> MadeOf:
    """What a folder says of a design; nothing where it was made of another one."""
    made, path = read_made_of(out), _path_from(out, design)
    return made if made is not None and made.design == path else MadeOf(path)


def published_of(out: Path, design: Path) -> str:
    """The day on which what lies in a folder was published of a design, ISO 8601; else empty."""
    return _of(out, design).published


def not_on_record(out: Path, design: Path, record: Record) -> str:
    """What a folder tells of a design and its record lacks, which makes it an older copy.

    Args:
        out: the folder.
        design: the design.
        record: its record; an empty one is lost, not older.

    Returns:
        In words; empty when nothing is missing, or nobody can tell.
    """
    made, days = _of(out, design), [one.on for one in record.publications]
    if not days:
        return ""
    if made.published and made.published not in days:
        return f"nothing of {day(made.published)}, on which what lies in {out} was published"
    if made.times > len(days):
        return f"{len(days)} of the {made.times} times that what lies in {out} was published"
    if made.corrections > len(record.corrections):
        return (
            f"{len(record.corrections)} of the {made.corrections} corrections that there were when "
            f"{out} was filled"
        )
    return ""


def require_newest(out: Path, design: Path, record: Record) -> None:
    """See that a record is neither lost nor an older copy, before it or the folder is written.

    Args: as for :func:`not_on_record`.

    Raises:
        BadInput: it lacks what the folder tells of, or is not there at all.
    """
    on = published_of(out, design)
    if on and not record.publications:
        file = record_file(design)
        raise BadInput.of(
            f"what lies in {out} was published on {day(on)}, and {file.name}, its published "
            "record, is not there",
            f"fetch {file.name} from your copies; where there is none, write into another folder "
            f"with --out, or take away {FILE_NAME} in {out}, and what viewers were told is kept "
            "nowhere",
            file=design,
        )
    lacking = not_on_record(out, design, record)
    if lacking:
        file = record_file(design)
        raise BadInput.of(
            f"the published record was cut, or is an older copy: it holds {lacking}",
            f"fetch the newest {file.name} from your copies; where there is none, take away "
            f"{FILE_NAME} in {out}, and nothing tells any more what is missing",
            file=file,
        )


def take_over(out: Path, design: Path) -> tuple[str, ...]:
    """See that a folder may be filled from a design; returns a note when it was another's.

    Raises:
        BadInput: it holds what was published of another design, or tells that this one's record
            is an older copy.
    """
    require_newest(out, design, read_record(design))
    before = read_made_of(out)
    if before is None or before.design == _path_from(out, design):
        return ()
    if before.published:
        raise BadInput.of(
            f"{out} holds what was published of another design, {before.design} from there",
            "choose another folder with --out; if that design has another name or place now, take "
            f"away {FILE_NAME} in this one",
            file=design,
        )
    return (
        f"{out} held the outputs of another design ({before.design} from there); those of "
        f"{design} stand in their place now",
    )


def write_made_of(out: Path, design: Path, *, published: bool = False) -> None:
    """Say in the folder what it is made of.

    Args:
        out: the folder.
        design: its design; its record is counted.
        published: whether what lies there is what was published last; else what stands there of
            this design's last publication is kept.

    Raises:
        BadInput: the folder cannot be written.
        WorkFailed: the disk is full.
    """
    record, made = read_record(design), _of(out, design)
    if published and record.publications:
        last = record.publications[-1].on
        made = replace(made, published=last, times=len(record.publications))
    made = replace(made, corrections=len(record.corrections))
    ready_folder(out)
    content = json.dumps(asdict(made), indent=1, sort_keys=True)
    write_whole(out / FILE_NAME, content.encode("utf-8"))


def _path_from(out: Path, design: Path) -> str:
    try:
        return Path(os.path.relpath(design.resolve(), out.resolve())).as_posix()
    except ValueError:  # on another drive
        return design.resolve().as_posix()
