"""``studio burn``: the overlays into the master's pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Literal

from studio.commands.telling import note, say_json, say_written, silently_changed
from studio.episode.filmed import FILM, with_film
from studio.episode.languages import WITNESS, in_language, in_languages, languages_in
from studio.episode.made_of import take_over, write_made_of
from studio.episode.places import (
    as_text,
    denser,
    places_file,
    read_master_ms,
    read_places,
    with_places,
)
from studio.episode.records import Episode, FrameSize
from studio.episode.stamps import stamp
from studio.files import (
    as_last_written,
    only_writer,
    only_writer_of,
    write_outputs,
    write_whole,
)


def burn(
    design: Path,
    master: Path,
    out: Path,
    *,
    engine: Literal["exact", "moviepy"] = "exact",
    as_json: bool,
) -> int:
    """Write ``film.mp4`` into ``out``, with captions and chapters inside.

    Args:
        design: a design file with film marks.
        master: the edited film.
        out: the folder.
        engine: ``exact`` encodes only pictures under an overlay where the master allows it;
            ``moviepy`` encodes all.
        as_json: print the result as JSON; how much is encoded is told on stderr either way.

    Raises:
        BadInput: the design has faults or no film marks; the master cannot be used; another
            command is writing into the folder, or burns the same design into another one; or it
            holds what was published of another design.
        WorkFailed: the encoder failed or the disk is full.
    """
    # the places beside the design and the film have to be of one burn, wherever it writes: they are
    # read with the design, and written when the film is whole
    with only_writer(out, "studio burn"), only_writer_of(places_file(design), "studio burn"):
        episode, *others = _in_languages(design, languages_in(out), master)
        return _burn(episode, others, master, out, engine=engine, as_json=as_json)


def _in_languages(design: Path, tags: Sequence[str], master: Path) -> tuple[Episode, ...]:
    """The episode and those in other languages; as long as the master, where nobody else tells."""
    from studio.film.probe import probe

    before = in_languages(design, tags)
    if not before[0].takes_masters_length:
        return before
    length = probe(master).duration_ms
    episode, *others = in_languages(design, tags, master_ms=length)
    if length != before[0].length_ms:
        told = (
            f"the film is as long as this master, {stamp(length)}, which was not known before: run "
            "studio build again, so that chapters and cards go by it everywhere"
        )
        episode = replace(episode, notes=(*episode.notes, told))
    return (episode, *others)


def _burn(
    episode: Episode,
    others: Sequence[Episode],
    master: Path,
    out: Path,
    *,
    engine: Literal["exact", "moviepy"],
    as_json: bool,
) -> int:
    from studio.film.burn import burn as burn_film
    from studio.film.burn import require_ready
    from studio.film.overlays import FOLDER, overlay_files, small_type
    from studio.film.placing import choose_places, told_places
    from studio.film.thumbnail import FRAME, THUMBNAIL, frame_file, thumbnail

    design = episode.design_file
    other = take_over(out, design)
    footage = require_ready(episode, master, out / FILM, allow_silent=episode.silent)
    # before anything is looked at: a film on which nobody can read is not worth the time
    small = small_type(episode, FrameSize(footage.width, footage.height))
    before, length_before = read_places(design), read_master_ms(design)
    length = footage.duration_ms if episode.takes_masters_length else None
    places = choose_places(episode, master, before)
    for line in told_places(episode, places):
        note(line)
    placed = replace(episode, cards=with_places(episode.cards, places))
    report = burn_film(
        placed, master, out / FILM, allow_silent=episode.silent, engine=engine, tell=note
    )
    places = denser(places, placed.cards, report.densities)
    placed = replace(episode, cards=with_places(episode.cards, places))
    # only now that the film has its name: a burn that failed leaves everything as it was
    written: list[Path] = []
    kept: tuple[str, ...] = ()
    drawn = overlay_files(placed)
    if places != before or not all((out / name).exists() for name in drawn):
        # every drawing of a card, on disk and in the film, stands where this film has room
        written, kept = write_outputs(out, drawn, among=f"{FOLDER}/")
    if (places, length) != (before, length_before):
        write_whole(places_file(design), as_text(places, length).encode("utf-8"))
        written.insert(0, places_file(design))
    if episode.thumbnail_at_ms is not None:
        # the frame is the ground, and the piece's own picture is not looked at
        frame = frame_file(episode, master)
        pictures = {FRAME: frame, THUMBNAIL: thumbnail(episode, b"", frame)}
        made, aside = write_outputs(out, pictures, among=THUMBNAIL.partition(".")[0])
        written, kept = [*written, *made], (*kept, *aside)
    for one in (episode, *others):
        written += _with_player(one, out)
    written.append(report.out)
    write_made_of(out, design)
    notes = (*episode.notes, *small, *kept, *report.notes, *other, *silently_changed(episode))
    if as_json:
        say_json(
            {
                "written": [str(path) for path in written],
                "notes": list(notes),
                "engine": report.engine,
                "pictures": report.frames,
                "encoded": report.encoded,
                "taken_over": report.taken_over,
                "overlays": [asdict(ending) for ending in report.endings],
                "places": {name: asdict(place) for name, place in places.items()},
            }
        )
    else:
        say_written(written, notes, as_json)
    return 0


def _with_player(episode: Episode, out: Path) -> list[Path]:
    """The handout with the player, now that its film is there.

    Only where it is as the design makes it without: any other is for a build to make anew.
    """
    from studio.measure.trace import plain
    from studio.paper import handout

    second = any(not one.ending for one in episode.alternates)
    name = in_language(WITNESS, episode.language.tag) if second else WITNESS
    without = plain(handout.render(with_film(episode, None))).encode("utf-8")
    if as_last_written(out, name) != without:
        return []
    page = plain(handout.render(with_film(episode, out))).encode("utf-8")
    return write_outputs(out, {name: page}, among=name)[0]
