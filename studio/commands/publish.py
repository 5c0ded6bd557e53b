"""``studio publish``: the record of what viewers are told from today on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from studio.commands.telling import note, say, say_json
from studio.errors import BadInput
from studio.files import write_whole


def publish(
    designs: Sequence[Path], out: Path | None, *, as_json: bool, today: date | None = None
) -> int:
    """Add what each design tells now to the record beside it; 1 when one of them is not fit for it.

    Args:
        designs: design files.
        out: folder of the outputs; with several designs, or None, ``build/<name>`` for each.
        as_json: print the result as JSON.
        today: the day; None for the clock's.

    Raises:
        BadInput: a design has faults, or nothing has been built of it yet.
        WorkFailed: the disk is full.
    """
    if out is not None and len(designs) > 1:
        raise BadInput.of("one folder holds the outputs of one design", "leave --out away")
    made = [_one(one, out or Path("build") / one.stem, today or date.today()) for one in designs]
    if as_json:
        say_json({"published": made})
    return 1 if any(one["mend"] for one in made) else 0


def _one(design: Path, out: Path, today: date) -> dict[str, object]:
    from studio.check.checks import run
    from studio.check.context import Context
    from studio.check.findings import Severity
    from studio.episode.published import as_text, publication, read_record, record_file
    from studio.film.reading_back import FILM
    from studio.measure.trace import plain
    from studio.paper.description import render

    context = Context.of(design, out)
    if not out.is_dir():
        raise BadInput.of(
            f"there is nothing to publish: no folder {out}", f"run: studio build {design}"
        )
    file, record = record_file(design), read_record(design)
    errors = [one for one in run(context).findings if one.severity is Severity.ERROR]
    told: dict[str, object] = {"design": str(design), "record": str(file), "mend": len(errors)}
    if errors:
        note(f"{design}: not published, {len(errors)} to mend first; the first is")
        note(f"    {errors[0].where}: {errors[0].code}: says {errors[0].said}")
        note(f"    should be: {errors[0].expected}")
        note(f"    studio check {design} tells all of them")
        return told | {"added": False}
    film = out / FILM
    episode = context.episode
    try:
        new = publication(episode, plain(render(episode)), film if film.is_file() else None, today)
    except OSError as error:
        raise BadInput.of(
            f"it cannot be read ({error.strerror or error})", "make it readable", file=film
        ) from error
    last = record.publications[-1] if record.publications else None
    if last is not None and (last.design, last.film) == (new.design, new.film):
        say(f"{file}: viewers were told all of this on {last.on}; nothing is added")
        return told | {"added": False}
    added = replace(record, publications=(*record.publications, new))
    write_whole(file, as_text(added).encode("utf-8"))
    with_film = "" if new.film else "; no film lies there, so none is recorded"
    say(f"{file}: {len(new.measurements)} figures as told on {new.on}{with_film}")
    return told | {"added": True}
