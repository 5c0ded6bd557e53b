"""``studio new``: starts a design, alone or from another one."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

from studio.commands.telling import say_written
from studio.design.reading import WORKSHOP_FILE
from studio.episode.assemble import open_episode
from studio.errors import BadInput, Fault
from studio.files import write_whole
from studio.measure.trace import plain
from studio.measure.units import QuantityError, parse_length
from studio.resources import shipped

_NAME = re.compile(r"[a-z0-9]+(?:[-_][a-z0-9]+)*")

_INVENTED = (
    f"{WORKSHOP_FILE} holds an invented workshop: before anything is turned, write the speeds of "
    "your own lathe and chuck, your rims, index plates, drills and cutters into it; every ceiling "
    "and every tool that is named comes from there"
)

_STARTER = """\
# yaml-language-server: $schema=design.schema.json
title: {title}
stock:
  species: cherry
  diameter: 50 mm
steps:
  - id: turn
    title: Turn the ball
    tools: [spindle gouge, dividers]
    does: [mounting, spindle-running, callipers]
    stage: finish
    do: Mark {{{{ sphere.set_in }}}} in from each corner and cut the corners away.
    say: Mark {{{{ sphere.set_in }}}} in from each corner.
    show: [sphere.set_in, sphere.octagon_side]
"""

_COUSIN = """\
# yaml-language-server: $schema=design.schema.json
title: {title}
based_on: {base}
credit: {credit}
"""


def new(name: str, source: Path | None, scale_to: str | None, *, as_json: bool) -> int:
    """Write ``NAME.yaml`` beside ``source``, or here; nothing that exists is overwritten.

    A first design also gets the shipped workshop file and the schemas for the editor beside it,
    where they are missing.

    Raises:
        BadInput: the name does not serve, the file exists, ``source`` has faults, or the size
            makes it impossible.
    """
    if not _NAME.fullmatch(name) or len(name) > 60:
        raise BadInput.of(
            f"{name[:60]!r} does not serve as a name",
            "write small letters, digits and hyphens, such as cherry-drop",
        )
    if scale_to is not None and source is None:
        raise BadInput.of("there is no design to scale", "name one with --from")
    folder = source.parent if source is not None else Path()
    path = folder / f"{name}.yaml"
    if path.exists():
        raise BadInput.of("there is such a file already", "choose another name", file=path)
    title = name.replace("-", " ").replace("_", " ").capitalize()
    if source is None:
        text = _STARTER.format(title=title)
    else:
        told = json.dumps(
            f"Derived from “{plain(open_episode(source).title)}”.", ensure_ascii=False
        )
        text = _COUSIN.format(title=title, base=source.name, credit=told)
    if scale_to is not None:
        try:
            text += f"scale_to: {parse_length(scale_to).typed}\n"
        except QuantityError as error:
            raise BadInput.of(f"--scale-to: {error.what}", error.write) from None
    written = [] if source is not None else _companions(folder)
    write_whole(path, text.encode("utf-8"))
    try:
        notes = open_episode(path).notes
    except BadInput as error:
        # the new file is ours and of no use: a design that cannot be turned is not left behind
        path.unlink()
        left = Fault(
            file=path,
            what="for what is told above it was not written; its lines are as they would be",
            write="choose another size, or write it yourself, with what is asked for above:\n    "
            + "\n    ".join(text.rstrip().splitlines()[1:]),
        )
        raise BadInput([*error.faults, left]) from error
    if any(one.name == WORKSHOP_FILE for one in written):
        notes = (*notes, _INVENTED)
    say_written([path, *written], notes, as_json)
    return 0


def _companions(folder: Path) -> list[Path]:
    """The workshop file and the editor's schemas, where they are missing."""
    written = []
    for name in (WORKSHOP_FILE, "design.schema.json", "workshop.schema.json"):
        if not (folder / name).exists():
            shutil.copyfile(shipped("designs") / name, folder / name)
            written.append(folder / name)
    return written
