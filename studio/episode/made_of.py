"""Which design file an out folder was made of, and on which day that was published.

It stands in the out folder, so that a folder is not filled from another design without a word, and
a published record that went away is missed.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path

from studio.errors import BadInput
from studio.files import ready_folder, write_whole

FILE_NAME = ".made-of.json"


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What an out folder was made of.

    Attributes:
        design: the design file, as a path from the folder.
        published: the day on which it was published last, ISO 8601; empty before that.
    """

    design: str
    published: str = ""


def read_made_of(out: Path) -> MadeOf | None:
    """What a folder says that it was made of; None where it does not say so."""
    try:
        found = json.loads((out / FILE_NAME).read_text(encoding="utf-8"))
        return MadeOf(str(found["design"]), str(found["published"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def published_of(out: Path, design: Path) -> str:
    """The day on which what lies in a folder was published of a design, ISO 8601; else empty."""
    made = read_made_of(out)
    return made.published if made is not None and made.design == _path_from(out, design) else ""


def take_over(out: Path, design: Path) -> tuple[str, ...]:
    """See that a folder may be filled from a design; returns a note when it was another's.

    Raises:
        BadInput: it holds what was published of another design.
    """
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


def write_made_of(out: Path, design: Path, published: str = "") -> None:
    """Say in the folder what it is made of.

    Args:
        out: the folder.
        design: its design.
        published: the day, ISO 8601; empty keeps the one that stands there for this design.

    Raises:
        BadInput: the folder cannot be written.
        WorkFailed: the disk is full.
    """
    before, path = read_made_of(out), _path_from(out, design)
    if not published and before is not None and before.design == path:
        published = before.published
    ready_folder(out)
    content = json.dumps(asdict(MadeOf(path, published)), indent=1, sort_keys=True)
    write_whole(out / FILE_NAME, content.encode("utf-8"))


def _path_from(out: Path, design: Path) -> str:
    try:
        return Path(os.path.relpath(design.resolve(), out.resolve())).as_posix()
    except ValueError:  # on another drive
        return design.resolve().as_posix()
