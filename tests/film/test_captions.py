"""Caption files: marks stay until the file is written, and nothing stale stays behind."""

from __future__ import annotations

import dataclasses

from hypothesis import given
from hypothesis import strategies as st

from studio.episode.records import Cue, Episode
from studio.film.captions import (
    CAPTION_FILES,
    CHAPTER_FILES,
    caption_files,
    render_srt,
    render_vtt,
)
from studio.measure.trace import has_marks, plain, spans


def test_every_rendering_keeps_its_marks(sample_episode: Episode) -> None:
    for render in CAPTION_FILES.values():
        text, found = spans(render(sample_episode))
        assert [span.name for span in found] == ["sphere.set_in", "sphere.octagon_side"]
        assert [text[span.start : span.stop] for span in found] == ["17.5\u00a0mm", "24.5\u00a0mm"]
    _, found = spans(CHAPTER_FILES["chapters.ffmeta"](sample_episode))
    assert [span.name for span in found] == ["sphere.diameter"]


def test_files_are_plain_and_complete(sample_episode: Episode) -> None:
    files = caption_files(sample_episode)
    assert set(files) == {"captions.srt", "captions.vtt", "chapters.vtt", "chapters.ffmeta"}
    assert not any(has_marks(content.decode()) for content in files.values())


def test_a_design_without_marks_has_none(sample_episode: Episode) -> None:
    assert caption_files(dataclasses.replace(sample_episode, cues=(), chapters=())) == {}


def test_a_tag_of_a_stranger_is_shown_not_obeyed(sample_episode: Episode) -> None:
    cue = Cue(start_ms=0, end_ms=1000, text="<script>x</script> {\\an8}top")
    episode = dataclasses.replace(sample_episode, cues=(cue,))
    assert "‹script›x‹/script› {\\an8}top" in plain(render_srt(episode))
    assert "&lt;script&gt;x&lt;/script&gt; {\\an8}top" in plain(render_vtt(episode))


@given(st.text(max_size=60))
def test_no_text_breaks_the_frame_of_a_webvtt_file(text: str) -> None:
    cues = (
        Cue(start_ms=0, end_ms=1000, text=f"a{text}b"),
        Cue(start_ms=1000, end_ms=2000, text="last"),
    )
    episode: Episode = object.__new__(Episode)
    object.__setattr__(episode, "cues", cues)
    written = plain(render_vtt(episode))
    # two times, two blocks, whatever stands in the text
    assert written.count(" --> ") == 2
    assert len([block for block in written.split("\n\n") if block.strip()]) == 3
