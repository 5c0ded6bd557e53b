"""Captions and chapters, read back by programs that others wrote: webvtt-py, FFmpeg, Chromium.

Chromium reads them through its own text tracks (HTML, text track API).
"""

from __future__ import annotations

import base64
import html
import io
import json
import re
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

import av
import imageio_ffmpeg
import pytest
import webvtt

from studio.episode.records import Chapter, Cue, Episode
from studio.film.captions import (
    CAPTION_FILES,
    CHAPTER_FILES,
    render_chapters_ffmeta,
    render_chapters_vtt,
    render_srt,
    render_vtt,
)
from studio.measure.trace import mark, plain
from tests.browser import chromium

NBSP = "\u00a0"


@dataclass(frozen=True)
class _Timed:
    """The part of an episode that captions read."""

    title: str
    cues: tuple[Cue, ...]
    chapters: tuple[Chapter, ...]


CUES = (
    Cue(
        start_ms=0,
        end_ms=1999,
        text="Set in " + mark("a.b", f"17.5{NBSP}mm") + "\nfrom each corner.",
    ),
    Cue(start_ms=2000, end_ms=3500, text="Wood & glue: 3 < 4, 5 > 4; ½ ⅛ × ° ″ Ø"),
    Cue(start_ms=3_599_500, end_ms=3_600_001, text="An hour in.\n\n   \nStill here."),
    Cue(
        start_ms=3_600_001, end_ms=3_661_007, text="Path C:\\new\\Home, {braces} and --> an arrow."
    ),
)
CHAPTERS = (
    Chapter(title="Mount; true = round", step_ids=("a",), start_ms=0, end_ms=61_001),
    Chapter(
        title="Cut #2 \\ [END] & <b>finish</b>", step_ids=("b",), start_ms=61_001, end_ms=3_661_007
    ),
)
EPISODE = cast(
    Episode,
    _Timed(title="Globe = ball; #1 \\ " + mark("a.b", "60 mm"), cues=CUES, chapters=CHAPTERS),
)


def seconds(stamp: str) -> float:
    """A time as webvtt-py gives it, in seconds."""
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + float(rest)


def test_webvtt_py_reads_our_webvtt() -> None:
    read = list(webvtt.from_string(plain(render_vtt(EPISODE))))
    assert [(round(seconds(c.start) * 1000), round(seconds(c.end) * 1000)) for c in read] == [
        (cue.start_ms, cue.end_ms) for cue in CUES
    ]
    # webvtt-py leaves the escapes of the syntax as they stand
    assert read[0].text == f"Set in 17.5{NBSP}mm\nfrom each corner."
    assert read[1].text == "Wood &amp; glue: 3 &lt; 4, 5 &gt; 4; ½ ⅛ × ° ″ Ø"
    assert read[2].text == "An hour in.\nStill here."
    assert read[3].text == "Path C:\\new\\Home, {braces} and --&gt; an arrow."


def test_webvtt_py_reads_our_subrip() -> None:
    read = list(webvtt.from_buffer(io.StringIO(plain(render_srt(EPISODE))), format="srt"))
    assert [(round(seconds(c.start) * 1000), round(seconds(c.end) * 1000)) for c in read] == [
        (cue.start_ms, cue.end_ms) for cue in CUES
    ]
    assert read[1].text == "Wood & glue: 3 ‹ 4, 5 › 4; ½ ⅛ × ° ″ Ø"
    assert read[3].text == "Path C:\\new\\Home, {braces} and → an arrow."


@pytest.mark.parametrize(("name", "render"), [("c.vtt", render_vtt), ("c.srt", render_srt)])
def test_ffmpeg_reads_our_captions(tmp_path: Path, name: str, render: Any) -> None:
    path = tmp_path / name
    path.write_text(plain(render(EPISODE)), encoding="utf-8")
    with av.open(str(path)) as container:
        stream = container.streams.subtitles[0]
        read = [
            (
                round(p.pts * p.time_base * 1000),
                round((p.pts + p.duration) * p.time_base * 1000),
                bytes(p).decode(),
            )
            for p in container.demux(stream)
            if p.size
        ]
    assert [(start, end) for start, end, _ in read] == [(c.start_ms, c.end_ms) for c in CUES]
    assert read[0][2] == f"Set in 17.5{NBSP}mm\nfrom each corner."


def test_webvtt_keeps_the_rules_of_its_syntax() -> None:
    """W3C, "WebVTT: The Web Video Text Tracks Format", sections on syntax."""
    text = plain(render_vtt(EPISODE))
    assert text.startswith("WEBVTT\n\n")
    blocks = [block for block in text.split("\n\n")[1:] if block.strip()]
    assert len(blocks) == len(CUES)
    for block in blocks:
        _, timing, *payload = block.strip().split("\n")
        stamp = r"\d{2,}:[0-5]\d:[0-5]\d\.\d{3}"
        assert re.fullmatch(f"{stamp} --> {stamp}", timing)
        assert "-->" not in "\n".join(payload)
        assert not re.search(r"&(?!amp;|lt;|gt;)|<", "\n".join(payload))


def test_webvtt_py_reads_our_chapters() -> None:
    read = list(webvtt.from_string(plain(render_chapters_vtt(EPISODE))))
    assert [(round(seconds(c.start) * 1000), round(seconds(c.end) * 1000)) for c in read] == [
        (0, 61_001),
        (61_001, 3_661_007),
    ]
    assert read[0].text == "Mount; true = round"


def test_ffmpeg_reads_our_chapters(tmp_path: Path) -> None:
    path = tmp_path / "chapters.ffmeta"
    path.write_text(plain(render_chapters_ffmeta(EPISODE)), encoding="utf-8")
    with av.open(str(path), format="ffmetadata") as container:
        assert container.metadata["title"] == "Globe = ball; #1 \\ 60 mm"
        chapters = container.chapters()
    assert [chapter["metadata"]["title"] for chapter in chapters] == [
        "Mount; true = round",
        "Cut #2 \\ [END] & <b>finish</b>",
    ]
    times = [
        (c["start"] * c["time_base"] * 1000, c["end"] * c["time_base"] * 1000) for c in chapters
    ]
    assert times == [(0, 61_001), (61_001, 3_661_007)]


def test_ffmpeg_writes_our_metadata_file_back_the_same(tmp_path: Path) -> None:
    """FFmpeg's own writer is the reference for the escapes."""
    path = tmp_path / "chapters.ffmeta"
    ours = plain(render_chapters_ffmeta(EPISODE))
    path.write_text(ours, encoding="utf-8")
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(),
        "-loglevel",
        "error",
        "-f",
        "ffmetadata",
        "-i",
        str(path),
        "-f",
        "ffmetadata",
        "-",
    ]
    written = subprocess.run(command, check=True, capture_output=True).stdout.decode()
    kept = [line for line in written.splitlines() if not line.startswith("encoder=")]
    assert kept == ours.splitlines()


PAGE = """<!doctype html><meta charset="utf-8"><video>
<track kind="captions" srclang="en" src="CAPTIONS">
<track kind="chapters" srclang="en" src="CHAPTERS">
</video><pre id="found"></pre><script>
const tracks = [...document.querySelectorAll("track")];
let left = tracks.length;
function done() {
  if (--left) return;
  document.getElementById("found").textContent = JSON.stringify(tracks.map(element => ({
    state: element.readyState,
    cues: [...(element.track.cues || [])].map(
      cue => [cue.startTime, cue.endTime, cue.getCueAsHTML().textContent])
  })));
}
for (const element of tracks) {
  element.addEventListener("load", done);
  element.addEventListener("error", done);
  element.track.mode = "showing";
}
</script>"""


def read_by_chromium(captions: str, chapters: str) -> list[dict[str, Any]]:
    browser = chromium()

    def address(text: str) -> str:
        return "data:text/vtt;base64," + base64.b64encode(text.encode("utf-8")).decode("ascii")

    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        page = Path(folder) / "page.html"
        filled = PAGE.replace("CAPTIONS", address(captions)).replace("CHAPTERS", address(chapters))
        page.write_text(filled, encoding="utf-8")
        arguments = [
            browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
            "--disable-background-networking", f"--user-data-dir={folder}/profile",
            "--virtual-time-budget=20000", "--timeout=60000", "--dump-dom", page.as_uri(),
        ]  # fmt: skip
        done = subprocess.run(arguments, capture_output=True, text=True, timeout=120, check=True)
    found = re.search(r'<pre id="found">(.+?)</pre>', done.stdout, re.DOTALL)
    assert found is not None, "the tracks were not loaded"
    return list(json.loads(html.unescape(found[1])))


LOADED = 2
"""HTMLTrackElement.readyState of a track that was read without error."""


def test_chromium_reads_captions_and_chapters() -> None:
    captions, chapters = read_by_chromium(
        plain(render_vtt(EPISODE)), plain(render_chapters_vtt(EPISODE))
    )
    assert captions["state"] == chapters["state"] == LOADED
    assert len(captions["cues"]) == len(CUES)
    for (start, end, text), cue in zip(captions["cues"], CUES, strict=True):
        assert (start, end) == pytest.approx((cue.start_ms / 1000, cue.end_ms / 1000), abs=5e-4)
        # an empty line would end a cue, so none is written
        lines = [line for line in plain(cue.text).splitlines() if line.strip()]
        assert [line for line in text.splitlines() if line.strip()] == lines
    assert [row[2] for row in chapters["cues"]] == [plain(one.title) for one in CHAPTERS]
    for (start, end, _), chapter in zip(chapters["cues"], CHAPTERS, strict=True):
        wanted = (chapter.start_ms / 1000, chapter.end_ms / 1000)
        assert (start, end) == pytest.approx(wanted, abs=5e-4)


def test_chromium_tells_a_file_that_is_none() -> None:
    captions, chapters = read_by_chromium("not captions", plain(render_chapters_vtt(EPISODE)))
    assert captions["cues"] == []
    assert captions["state"] != LOADED
    assert chapters["state"] == LOADED


def test_all_web_tracks_are_covered() -> None:
    assert {name for name in (*CAPTION_FILES, *CHAPTER_FILES) if name.endswith(".vtt")} == {
        "captions.vtt",
        "chapters.vtt",
    }
