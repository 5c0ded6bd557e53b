"""``studio publish``: the record of what viewers are told from today on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from studio.commands.telling import note, say, say_json
from studio.errors import BadInput, to_type
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
            recorded. What ``*.yaml`` names besides designs is passed over, with a word.
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
    folders_named = [one for one in designs if one.is_dir()]
    files = _designs([one for one in designs if one not in folders_named], bool(folders_named))
    if out is not None and len(files) + len(folders_named) > 1:
        raise BadInput.of("one folder holds the outputs of one design", "leave --out away")
    folders = {*folders_named, *(one.parent for one in files)}
    if site is None and folders_named:
        raise BadInput.of(
            "a folder alone says nothing to record", "name designs, or add --site DIR"
        )
    if site is not None and len(folders) > 1:
        raise BadInput.of("a site is of one folder's designs", "name designs of one folder")
    day = today or date.today()
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


def _designs(typed: Sequence[Path], besides: bool) -> list[Path]:
    """Those of the files that are designs; the others are told.

    Args: the files, and whether something else is named besides them.

    Raises:
        BadInput: nothing that was named can be used.
    """
    from studio.episode.beside import is_design

    others = [one for one in typed if not is_design(one)]
    files = [one for one in typed if one not in others]
    if others and not files and not besides:
        raise BadInput.of(
            f"no design, but what lies beside designs: {', '.join(one.name for one in others)}",
            "name a design, such as globe.yaml",
        )
    if others:
        names = ", ".join(one.name for one in others)
        note(f"note: passed over, as no designs but what lies beside them: {names}")
    return files


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
        for name, why in site.gone:
            say(f"{folder / name}: removed, {why}")
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
            f"there is nothing to publish: no folder {out}", f"run: studio build {to_type(design)}"
        )
    with only_writer(out, "studio publish"):
        return _recorded(context, design, out, today)


def _recorded(context: Context, design: Path, out: Path, today: date) -> dict[str, object]:
    from studio.check.checks import run
    from studio.check.findings import Severity
    from studio.episode.filmed import FILM
    from studio.episode.made_of import write_made_of
    from studio.episode.published import as_text, publication, read_record, record_file
    from studio.episode.told_keys import typed_keys
    from studio.paper.description import without_corrections

    file, record = record_file(design), read_record(design)
    errors = [one for one in run(context).findings if one.severity is Severity.ERROR]
    told: dict[str, object] = {"design": str(design), "record": str(file), "mend": len(errors)}
    if errors:
        note(f"{design}: not published, {len(errors)} to mend first; the first is")
        note(f"    {errors[0].where}: {errors[0].code}: says {errors[0].said}")
        note(f"    should be: {errors[0].expected}")
        note(f"    studio check {to_type(design)} tells all of them")
        return told | {"added": False}
    film = out / FILM
    episode = context.episode
    try:
        new = publication(
            episode,
            without_corrections(episode),
            film if film.is_file() else None,
            today,
            typed_keys(context.read),
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
