"""What a master holds of its own: kept in the film, or told. Read back with ffprobe's library."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import av
import pytest

from studio.episode.records import Episode
from studio.film.burn import ENGINES, Engine, burn
from studio.film.masters_own import masters_own
from studio.film.probe import probe

Ffmpeg = Callable[..., bytes]

TAGS = {
    "title": "rough cut 7",
    "comment": "for Tom",
    "artist": "Fernhollow Bench (invented)",
    "date": "2026-11-20",
    "description": "An invented globe is turned.",
    "creation_time": "2026-11-20T08:30:00.000000Z",
    "location": "+51.5000-000.1200/",
    "reel": "A7",
}


@pytest.fixture
def rich_master(small_master: Path, tmp_path: Path, run_ffmpeg: Ffmpeg) -> Path:
    """The small master with captions, chapters, a clock and tags of its own, as editors export."""
    talk = tmp_path / "own.srt"
    talk.write_text("1\n00:00:00,500 --> 00:00:02,000\nof the master\n", encoding="utf-8")
    chapters = tmp_path / "own.ffmeta"
    chapters.write_text(
        ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=2000\ntitle=its own\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=2000\nEND=6000\ntitle=its other\n",
        encoding="utf-8",
    )
    out = tmp_path / "rich.mov"
    run_ffmpeg(
        "-i", str(small_master), "-i", str(talk), "-f", "ffmetadata", "-i", str(chapters),
        "-map", "0:v", "-map", "0:a", "-map", "1:s", "-c", "copy", "-c:s", "mov_text",
        "-metadata:s:s:0", "language=fra", "-map_metadata", "-1", "-map_chapters", "2",
        *(part for name, text in TAGS.items() for part in ("-metadata", f"{name}={text}")),
        "-timecode", "01:02:03:04", "-movflags", "use_metadata_tags", str(out),
    )  # fmt: skip
    return out


def timecodes(path: Path) -> list[str]:
    with av.open(str(path)) as film:
        return [one.metadata["timecode"] for one in film.streams if "timecode" in one.metadata]


@pytest.mark.parametrize("engine", ENGINES)
def test_tags_and_clock_are_kept_and_the_rest_is_told(
    rich_master: Path, sample_episode: Episode, tmp_path: Path, engine: Engine
) -> None:
    assert "01:02:03:04" in timecodes(rich_master)
    made = burn(sample_episode, rich_master, tmp_path / "film.mp4", progress=False, engine=engine)
    assert made.engine == engine
    with av.open(str(made.out)) as film:
        tags = film.metadata
        for name in ("artist", "date", "description", "creation_time"):
            assert tags[name] == TAGS[name], name
        assert tags["title"] == "Sample globe; 60\u00a0mm"
        assert "location" not in tags
        assert [one["metadata"]["title"] for one in film.chapters()] == [
            "Mark; measure = mark",
            "Cut #2 \\ done",
        ]
        # the chapters' own titles are a track of text in QuickTime, and none of captions
        assert [one.language for one in film.streams.subtitles] == ["eng"]
    assert set(timecodes(made.out)) == {"01:02:03:04"}
    master, film_ = probe(rich_master), probe(made.out)
    assert (film_.frames, film_.duration_ms) == (master.frames, master.duration_ms)
    (told,) = [note for note in made.notes if note.startswith("Of the master's own")]
    for left in (
        "its captions (fra), for which the film has the design's",
        "its 2 chapters, for which the film has the design's",
        "its title “rough cut 7”, for which the film has its own",
        "its comment “for Tom”",
        "where it was taken (the tag location)",
        "the tag reel",
    ):
        assert left in told, told
    assert "track of data" not in told
    assert "artist" not in told
    assert "clock" not in told


def test_a_plain_master_has_nothing_to_tell_of(small_master: Path) -> None:
    own = masters_own(probe(small_master))
    assert own.notes == ()
    assert set(own.tags) == {"copyright"}


def test_a_clock_of_uneven_pictures_is_told_and_not_kept(rich_master: Path) -> None:
    footage = dataclasses.replace(probe(rich_master), variable_rate=True)
    own = masters_own(footage)
    assert own.timecode == ""
    assert "the clock 01:02:03:04 of its pictures" in own.notes[0]


def test_a_second_track_a_cover_and_an_attachment_are_told(
    make_film: Callable[..., Path], tmp_path: Path, run_ffmpeg: Ffmpeg
) -> None:
    plain = make_film("-pix_fmt", "yuv420p")
    picture = tmp_path / "cover.png"
    run_ffmpeg("-i", str(plain), "-frames:v", "1", str(picture))
    covered = tmp_path / "covered.mp4"
    run_ffmpeg(
        "-i", str(plain), "-i", str(picture), "-map", "0", "-map", "1", "-c", "copy",
        "-disposition:v:1", "attached_pic", str(covered),
    )  # fmt: skip
    assert "its cover picture" in masters_own(probe(covered)).notes[0]
    letter = tmp_path / "letter.txt"
    letter.write_text("invented", encoding="utf-8")
    attached = tmp_path / "attached.mkv"
    run_ffmpeg(
        "-i", str(plain), "-i", str(plain), "-map", "0", "-map", "1:v", "-c", "copy",
        "-attach", str(letter), "-metadata:s:t", "mimetype=text/plain", str(attached),
    )  # fmt: skip
    (told,) = masters_own(probe(attached)).notes
    assert "its second track of pictures" in told
    assert "what is attached to attached.mkv" in told
