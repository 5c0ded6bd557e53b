"""``studio build``: everything that needs no footage."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from studio.commands.telling import say_written, silently_changed
from studio.design.reading import load
from studio.episode.batches import RECORD, batch_record, pieces_in, pieces_of
from studio.episode.filmed import with_film
from studio.episode.languages import (
    WITNESS,
    in_language,
    in_languages,
    languages_in,
    told_untranslated,
    wanted_languages,
)
from studio.episode.made_of import take_over, write_made_of
from studio.episode.records import Episode
from studio.files import as_last_written, last_written, only_writer, write_outputs
from studio.language import language_of


def build(
    design: Path,
    out: Path,
    *,
    as_json: bool,
    pieces: str | None = None,
    languages: Sequence[str] = (),
) -> int:
    """Write papers, captions, chapters, overlays and the table into ``out``.

    Args:
        design: the design's file.
        out: the folder.
        as_json: whether what was written is told for another program.
        pieces: of a batch whose sheet is wanted too, as typed.
        languages: in which viewers' papers are wanted too, by their tags.

    Raises:
        BadInput: the design has faults, the folder cannot be written, another command is writing
            into it, or it holds what was published of another design.
        WorkFailed: the disk is full.
    """
    count = pieces_of(pieces) if pieces is not None else None
    episode, *others = in_languages(design, wanted_languages(languages), pieces=count)
    with only_writer(out, "studio build"):
        other = take_over(out, design)
        gone = no_longer_asked_for(out, count, [one.language.tag for one in others])
        files = build_files(episode, out)
        for one in others:
            files |= files_in_language(one, out)
        written, kept = write_outputs(out, files)
        write_made_of(out, design)
    notes = (
        *episode.notes, *left_out(episode), *hard_to_read(episode), *unlettered(episode),
        *kept, *gone, *other,
        *silently_changed(episode), *lacking(episode),
        *(text for one in others for text in in_second(one, episode)),
    )  # fmt: skip
    say_written(written, notes, as_json)
    return 0


def no_longer_asked_for(out: Path, pieces: int | None, tags: Sequence[str]) -> tuple[str, ...]:
    """Notes on what an earlier build was asked for and this one is not, and so takes away.

    Args:
        out: the folder, before it is written into.
        pieces: of the batch that is asked for now.
        tags: of the second languages that are asked for now.
    """
    ours, before = last_written(out), pieces_in(out)
    notes = []
    if pieces is None and before is not None and RECORD in ours:
        notes.append(
            f"the sheet for a batch of {before:,} is taken away, as none was asked for this time; "
            f"studio build with --count {before} makes it anew"
        )
    notes += [
        f"what viewers read in {language_of(tag).name} is taken away, as it was not asked for this "
        f"time; studio build with --language {tag} makes it anew"
        for tag in languages_in(out)
        if tag not in tags and in_language(WITNESS, tag) in ours
    ]
    return tuple(notes)


def left_out(episode: Episode) -> tuple[str, ...]:
    """Notes on what is not made although it is asked for."""
    from studio.paper.demonstration import too_long

    note = too_long(episode)
    return (note,) if note else ()


def hard_to_read(episode: Episode) -> tuple[str, ...]:
    """A note on a film so small that the words on it are."""
    from studio.film.overlays import small_type

    return small_type(episode, episode.size)


def unlettered(episode: Episode, tag: str | None = None) -> tuple[str, ...]:
    """Notes on signs of the design that the lettering of sheets and cards lacks.

    Args:
        episode: the design's.
        tag: of a second language that it is in.
    """
    from studio.check.signs import unlettered_texts

    read = load(episode.design_file, tag)
    found = unlettered_texts(read, episode, second=tag is not None)
    return tuple(one.told() for one in found)


def in_second(episode: Episode, first: Episode) -> list[str]:
    """What is told of a second language: texts that it lacks, and what its captions ask for."""
    tag = episode.language.tag
    own = [f"{tag}: {text}" for text in episode.notes if text not in first.notes]
    return [*lacking(episode), *own, *unlettered(episode, tag)]


def lacking(episode: Episode) -> list[str]:
    """What is told of texts that are not there in an episode's language."""
    tag = episode.language.tag
    return told_untranslated(tag, load(episode.design_file, tag).untranslated)


def files_in_language(episode: Episode, out: Path | None = None) -> dict[str, bytes]:
    """What viewers read in a second language, by file name.

    Args:
        episode: in that language.
        out: where PDFs of the same texts may lie already, which are then taken over, and the film
            that a page shows.

    Raises:
        BadInput: a paper cannot be made from the design.
    """
    from studio.film.captions import captions_in_language
    from studio.paper.papers import paper_files, viewers_papers
    from studio.paper.pdfs import pdf_files

    def before(name: str) -> bytes | None:
        return as_last_written(out, name) if out is not None else None

    episode = with_film(episode, out)
    papers = paper_files(episode, viewers_papers(episode))
    return {
        **papers,
        **pdf_files(episode, episode.paper, papers, before, second=True),
        **captions_in_language(episode),
    }


def build_files(episode: Episode, out: Path | None = None) -> dict[str, bytes]:
    """Everything that a build writes, by name, made before the first file is written.

    Args:
        episode: what to make it from.
        out: where pictures of the same piece and PDFs of the same texts may lie already, which are
            then taken over, and the film that a page shows.

    Raises:
        BadInput: a paper or an overlay cannot be made from the design.
    """
    from studio.film.captions import caption_files
    from studio.film.overlays import overlay_files
    from studio.film.shots import shot_files
    from studio.film.thumbnail import FRAME, THUMBNAIL, thumbnail, wanted_frame
    from studio.measure.listing import FILE_NAME, as_json
    from studio.paper.papers import paper_files
    from studio.paper.pdfs import pdf_files
    from studio.picture.files import PICTURE, picture_files

    def before(name: str) -> bytes | None:
        return as_last_written(out, name) if out is not None else None

    episode = with_film(episode, out)
    # an episode that could be opened is of a piece that can be turned
    assert episode.piece is not None
    pictures = picture_files(episode.piece, before)
    frame = wanted_frame(episode, out) if out is not None else None
    papers = paper_files(episode)
    return {
        **papers,
        **pdf_files(episode, episode.paper, papers, before),
        **caption_files(episode),
        **overlay_files(episode),
        **shot_files(episode),
        **pictures,
        THUMBNAIL: thumbnail(episode, pictures[PICTURE], frame),
        # kept: a build has no footage to take it from again
        **({FRAME: frame} if frame is not None else {}),
        FILE_NAME: as_json(episode.table).encode("utf-8"),
        **({RECORD: record.encode("utf-8")} if (record := batch_record(episode)) else {}),
    }
