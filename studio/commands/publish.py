"""``studio publish``: the record of what viewers are told from today on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from studio.commands.telling import note, say, say_json
from studio.errors import BadInput
from studio.files import only_writer, write_whole

if TYPE_CHECKING:
    from studio.check.context import Context


def publish(
    designs: Sequence[Path],
    out: Path | None,
    *,
    as_json: bool,
    site: Path | None = None,
    films: bool = False,
    today: date | None = None,
) -> int:
    """Add what each design tells now to the record beside it; 1 when one of them is not fit for it.

    Args:
        designs: design files; a folder stands for its published designs, of which nothing new is
            recorded.
        out: folder of the outputs; with several designs, or None, ``build/<name>`` for each.
        as_json: print the result as JSON.
        site: folder to write the site of all published designs to, None for none.
        films: copies the films onto the site.
        today: the day; None for the clock's.

    Raises:
        BadInput: a design has faults, nothing has been built of it yet, or another command is
            writing into a folder.
        WorkFailed: the disk is full.
    """
    if out is not None and len(designs) > 1:
        raise BadInput.of("one folder holds the outputs of one design", "leave --out away")
    folders = {one if one.is_dir() else one.parent for one in designs}
    if site is None and any(one.is_dir() for one in designs):
        raise BadInput.of(
            "a folder alone says nothing to record", "name designs, or add --site DIR"
        )
    if site is not None and len(folders) > 1:
        raise BadInput.of("a site is of one folder's designs", "name designs of one folder")
    day = today or date.today()
    files = [one for one in designs if not one.is_dir()]
    made = [_one(one, out or Path("build") / one.stem, day) for one in files]
    told: dict[str, object] = {"published": made}
    failed = any(one["mend"] for one in made)
    if site is not None and failed:
        note(f"{site}: the site is left as it is until that is mended")
    elif site is not None:
        own = {one: out for one in files if out is not None}
        with only_writer(site, "studio publish"):
            told["site"] = _site(folders.pop(), site, own, films, day, as_json)
    if as_json:
        say_json(told)
    return 1 if failed else 0


def _site(
    designs: Path, folder: Path, outs: dict[Path, Path], films: bool, today: date, as_json: bool
) -> dict[str, object]:
    from studio.site.known import default_file
    from studio.site.whole import published_designs, write_site

    site = write_site(
        published_designs(designs),
        folder,
        lambda design: outs.get(design) or Path("build") / design.stem,
        known=default_file(),
        films=films,
        today=today,
    )
    done = site.done
    if not as_json:
        for name in done.written:
            say(str(folder / name))
        for name in done.removed:
            say(f"{folder / name}: removed, no published design has it any more")
        for text in site.notes:
            note(f"note: {text}")
        say(
            f"{folder}: {site.designs} designs, {len(done.written)} files written; upload the "
            "folder as it is, without what begins with a dot"
        )
        for film in site.films:
            say(f"and upload {film} (or copy films with --films)")
    return {
        "folder": str(folder),
        "designs": site.designs,
        "written": list(done.written),
        "removed": list(done.removed),
        "notes": list(site.notes),
        "films": list(site.films),
    }


def _one(design: Path, out: Path, today: date) -> dict[str, object]:
    from studio.check.context import Context

    context = Context.of(design, out)
    if not out.is_dir():
        raise BadInput.of(
            f"there is nothing to publish: no folder {out}", f"run: studio build {design}"
        )
    with only_writer(out, "studio publish"):
        return _recorded(context, design, out, today)


def _recorded(context: Context, design: Path, out: Path, today: date) -> dict[str, object]:
    from studio.check.checks import run
    from studio.check.findings import Severity
    from studio.episode.made_of import write_made_of
    from studio.episode.published import as_text, publication, read_record, record_file
    from studio.film.reading_back import FILM
    from studio.paper.description import without_corrections

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
        new = publication(
            episode, without_corrections(episode), film if film.is_file() else None, today
        )
    except OSError as error:
        raise BadInput.of(
            f"it cannot be read ({error.strerror or error})", "make it readable", file=film
        ) from error
    last = record.publications[-1] if record.publications else None
    if last is not None and (last.design, last.film) == (new.design, new.film):
        write_made_of(out, design, published=True)
        say(f"{file}: viewers were told all of this on {last.on}; nothing is added")
        return told | {"added": False}
    added = replace(record, publications=(*record.publications, new))
    write_whole(file, as_text(added).encode("utf-8"))
    write_made_of(out, design, published=True)
    with_film = "" if new.film else "; no film lies there, so none is recorded"
    say(f"{file}: {len(new.measurements)} figures as told on {new.on}{with_film}")
    return told | {"added": True}
