"""``studio list``: all designs of a folder."""

from __future__ import annotations

from pathlib import Path

from studio.commands.telling import columns, note, say, say_json
from studio.episode.assemble import open_episode
from studio.episode.beside import design_files
from studio.errors import BadInput
from studio.measure.trace import plain


def list_designs(folder: Path, *, as_json: bool) -> int:
    """Print each design's size, wood and lobes; 1 when one of them has faults.

    Raises:
        BadInput: there is no such folder, or no design in it.
    """
    if not folder.is_dir():
        raise BadInput.of("there is no such folder", "name the folder of your designs", file=folder)
    paths = design_files(folder)
    if not paths:
        raise BadInput.of("no design lies here", "a design ends in .yaml", file=folder)
    records: list[dict[str, str]] = []
    faulty: list[str] = []
    for path in paths:
        try:
            episode = open_episode(path)
        except BadInput as error:
            faulty.append(f"{path.name}: {len(error.faults)} to mend; {error.faults[0].what}")
            continue
        table = episode.table
        size, lobes = table.get("sphere.diameter"), table.get("grooves.lobes")
        whole = table.get("assembly.height")
        shown = size or whole
        records.append(
            {
                "file": path.name,
                "title": plain(episode.title),
                "size": shown.both if shown is not None else "",
                "height": whole.both if size is not None and whole is not None else "",
                "wood": episode.species,
                "lobes": lobes.text if lobes is not None else "",
                "published": episode.last_published,
            }
        )
    if as_json:
        say_json({"designs": records, "faulty": faulty})
    elif records:
        for line in columns([tuple(records[0]), *(tuple(one.values()) for one in records)]):
            say(line.rstrip())
    for line in faulty:
        note(line)
    return 1 if faulty else 0
