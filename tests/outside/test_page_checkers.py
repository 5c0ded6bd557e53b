"""Pages before other people's checkers: the Nu HTML checker, axe-core, and Chromium itself.

The Nu HTML checker is the one behind validator.w3.org/nu (npm vnu-jar); axe-core is Deque's, its
rules all on but the experimental ones (npm axe-core). ``prepare.py`` fetches both.
"""

from __future__ import annotations

import re
import subprocess
import threading
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import imageio_ffmpeg
import pytest

from studio.check import report
from studio.check.findings import Finding, Outcome, Severity
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.episode.batches import as_batch
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import PAPERS
from studio.paper.papers import BATCH
from studio.paper.unbroken import NO_BREAK, parted
from studio.resources import shipped
from tests.browser import browse, checked, package_file
from tests.paper.test_looks import put_example

SHIPPED = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")
PAGES = ("handout.html", "cut-sheet.html", "demonstration.html", "reading.html")
WIDTHS = (360, 800, 1280)

HOSTILE = (
    '</script><script>alert("x")</script> <b> & {{ 7 * 7 }} \u202e \u2028 עברית 🪵 ' + "w" * 90
)


def hostile(name: str) -> Episode:
    episode = open_episode(shipped("designs") / f"{name}.yaml")
    assert episode.box is not None
    return replace(
        episode,
        title=HOSTILE,
        summary=HOSTILE,
        workshop=HOSTILE,
        licence=HOSTILE,
        box=episode.box.titled(HOSTILE),
        chapters=tuple(replace(one, title=HOSTILE) for one in episode.chapters),
        steps=tuple(replace(one, title=HOSTILE, do=HOSTILE) for one in episode.steps),
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The lobed globe as ``studio build`` writes it, a small film of its length beside it."""
    folder = tmp_path_factory.mktemp("built")
    film = ["-f", "lavfi", "-i", "color=c=gray:s=64x36:r=2:d=135", "-pix_fmt", "yuv420p", "-g", "2"]
    subprocess.run(
        [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", *film, str(folder / "film.mp4")],
        check=True,
    )
    episode = open_episode(shipped("designs") / "lobed-globe.yaml")
    for name, content in build_files(episode, folder).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


@pytest.fixture(scope="module")
def smaller(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The pages beside handout and cut sheet: with a batch, and a report that tells every kind of
    finding of one file."""
    folder = tmp_path_factory.mktemp("smaller")
    episode = as_batch(open_episode(shipped("designs") / "crowned-globe.yaml", pieces=24))
    one = Finding(code="wrong-number", severity=Severity.ERROR, where="script.md", at="line 3",
                  said="18 mm", expected="17.5 mm")  # fmt: skip
    pages = {name: make(episode) for name, make in {**PAPERS, **BATCH}.items()
             if name in ("demonstration.html", "reading.html", "batch.html")}  # fmt: skip
    pages[report.FILE_NAME] = report.render(
        episode,
        Outcome(
            findings=(one, replace(one, severity=Severity.NOTE)),
            hints=(replace(one, severity=Severity.HINT),),
        ),
    )
    for name, page in pages.items():
        (folder / name).write_text(plain(page), encoding="utf-8")
    return [folder / name for name in pages]


@pytest.fixture(scope="module")
def served(built: Path) -> Iterator[str]:
    """The address of that folder on this machine: from a disk browsers load no text tracks."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(built)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def errors_of(*pages: Path) -> list[str]:
    """What the Nu HTML checker finds on pages, each with its place."""
    return [
        f"{Path(one['url']).name}, line {one.get('lastLine')}: {one['message']}"
        for one in checked(*pages)
        if one["type"] != "info"
    ]


def test_pages_have_no_error(tmp_path: Path) -> None:
    pages = []
    for name in SHIPPED:
        for which, episode in (
            (name, open_episode(shipped("designs") / f"{name}.yaml")),
            (f"hostile-{name}", hostile(name)),
            (f"filmed-{name}", replace(hostile(name), filmed=True)),
        ):
            for paper in PAGES:
                pages.append(tmp_path / f"{which}-{paper}")
                pages[-1].write_text(plain(PAPERS[paper](episode)), encoding="utf-8")
    assert errors_of(*pages) == []


def test_the_checker_finds_an_error(tmp_path: Path) -> None:
    page = tmp_path / "bad.html"
    good = plain(PAPERS["handout.html"](open_episode(shipped("designs") / "globe.yaml")))
    bad = re.sub(r"<(img[^>]*) alt=", r"<\1 data-alt=", good)
    assert bad != good
    page.write_text(bad, encoding="utf-8")
    found = [one["message"] for one in checked(page) if one["type"] == "error"]
    assert [one for one in found if "“img” element must have an “alt”" in one], found


AXE = "axe.run().then((said) => said.violations.map((one) => `${one.id}: ${one.nodes[0].html}`))"


def test_no_checker_finds_anything_on_the_smaller_pages(smaller: list[Path]) -> None:
    axe = package_file("axe-core/axe.min.js").read_text(encoding="utf-8") + ";0"
    steps: list[dict[str, Any]] = []
    for page in smaller:
        for width in WIDTHS:
            steps += [{"open": page.as_uri(), "width": width}, {"run": axe}, {"run": AXE}]
    said = browse(*steps)
    assert len(smaller) == 4
    assert [found for found in said[2::3] if found] == []
    assert errors_of(*smaller) == []


@pytest.mark.parametrize("paper", ["handout.html", "cut-sheet.html"])
def test_axe_finds_no_violation(paper: str, built: Path) -> None:
    """Every width, light and dark; the handout with a script and a size that does not fit."""
    axe = package_file("axe-core/axe.min.js").read_text(encoding="utf-8") + ";0"
    page = (built / paper).as_uri()
    steps: list[dict[str, Any]] = []
    for width in WIDTHS:
        for dark in (False, True):
            steps += [{"open": page, "width": width, "dark": dark}, {"run": axe}, {"run": AXE}]
            if paper == "handout.html":
                steps += [{"run": put("size-plate", 10)}, {"run": AXE}]
                steps += [{"run": put("size-rim", "34 feet")}, {"run": AXE}]
    steps += [{"run": "document.documentElement.lang = ''"}, {"run": AXE}]
    said = [
        found for step, found in zip(steps, browse(*steps), strict=True) if step.get("run") == AXE
    ]
    assert said[:-1] == [[]] * (len(said) - 1)
    assert said[-1], "axe finds what is wrong"


PLAIN_COLOURS = "body { background: #f3f6ec } .cautions { background: white; color: #222 }"


@pytest.mark.parametrize("look", ["the example", PLAIN_COLOURS])
def test_a_look_can_be_read_on_dark_screens(look: str, folder: Path, tmp_path: Path) -> None:
    """The look that docs/paper.md begins with, and one that knows of light screens alone."""
    place = folder / "looks" / "moss"
    place.mkdir(parents=True)
    if look == PLAIN_COLOURS:
        (place / "extra.css").write_text(look, encoding="utf-8")
    else:
        put_example(place)
    episode = replace(open_episode(folder / "globe.yaml"), pages=place)
    axe = package_file("axe-core/axe.min.js").read_text(encoding="utf-8") + ";0"
    pages, steps = [], list[dict[str, Any]]()
    for paper in PAGES:
        pages.append(tmp_path / paper)
        pages[-1].write_text(plain(PAPERS[paper](episode)), encoding="utf-8")
        for dark in (False, True):
            steps += [{"open": pages[-1].as_uri(), "width": 800, "dark": dark}, {"run": axe}]
            steps += [{"run": AXE}]
    assert browse(*steps)[2::3] == [[]] * (2 * len(PAGES))


@pytest.mark.parametrize("look", ["", "paper.css", "extra.css"])
def test_what_lies_behind_a_page_is_dark_where_its_letters_are_for_that(
    look: str, folder: Path, tmp_path: Path
) -> None:
    """CSS Color Adjustment Level 1: the canvas follows the page's color-scheme."""
    place = folder / "looks" / "moss"
    place.mkdir(parents=True)
    if look:
        (place / look).write_text("body { color: #222; background: none }", encoding="utf-8")
    page = tmp_path / "handout.html"
    episode = replace(open_episode(folder / "globe.yaml"), pages=place if look else None)
    page.write_text(plain(PAPERS["handout.html"](episode)), encoding="utf-8")
    canvas = {
        "run": "(() => { const one = document.body.appendChild(document.createElement('p'));"
        "one.style.backgroundColor = 'Canvas'; return getComputedStyle(one).backgroundColor; })()"
    }
    [_, found] = browse({"open": page.as_uri(), "dark": True}, canvas)
    assert (found == "rgb(255, 255, 255)") is bool(look), found


def test_a_look_for_dark_rooms_is_printed_black_on_white(folder: Path, tmp_path: Path) -> None:
    place = folder / "looks" / "moss"
    place.mkdir(parents=True)
    colours = ":root { --page: #111; --card: #222; --ink: #eee; --warn: #fb6; --accent: #7ca }"
    (place / "extra.css").write_text(colours, encoding="utf-8")
    page = tmp_path / "handout.html"
    episode = replace(open_episode(folder / "globe.yaml"), pages=place)
    page.write_text(plain(PAPERS["handout.html"](episode)), encoding="utf-8")
    ink = {"run": "getComputedStyle(document.body).color"}
    said = browse({"open": page.as_uri()}, ink, {"open": page.as_uri(), "media": "print"}, ink)
    assert said[1::2] == ["rgb(238, 238, 238)", "rgb(0, 0, 0)"]


def put(name: str, value: object) -> str:
    """Types into a field."""
    return (
        f"(() => {{ const field = document.getElementById('{name}'); field.value = '{value}';"
        "field.dispatchEvent(new Event(field.tagName === 'SELECT' ? 'change' : 'input',"
        "{bubbles: true})); })()"
    )


def words(selector: str) -> dict[str, str]:
    return {"run": f"document.querySelector({selector!r}).textContent"}


def test_nothing_is_asked_of_others_and_nothing_goes_wrong(served: str) -> None:
    """Requests as the browser counts them, its console, and its policy's complaints."""
    [handout, tracks, sheet] = browse(
        {"open": f"{served}/handout.html"},
        {"run": "new Promise((done) => setTimeout(done, 500)).then(() =>"
                "[...document.querySelectorAll('track')].map((one) => one.track.cues?.length))"},
        {"open": f"{served}/cut-sheet.html"},
    )  # fmt: skip
    for said in (handout, sheet):
        # a browser asks every site for that by itself, sooner or later
        assert [one for one in said["wrong"] if not one.endswith("/favicon.ico")] == []
        assert [one for one in said["asked"] if not one.startswith((served, "data:"))] == []
    assert tracks[0] > 3, "captions are attached and read"


def test_chapters_seek_the_film(built: Path) -> None:
    """By keyboard: the link is reached, pressed, and the film goes on from there."""
    at = "document.getElementById('player').currentTime"
    [_, _, _, seconds, focus] = browse(
        {"open": (built / "handout.html").as_uri()},
        {"run": "document.querySelector('.chapters li:nth-child(3) a').focus()"},
        {"key": "Enter"},
        {"run": "new Promise((done) => { const ask = () => "
                f"{at} >= 66 ? done({at}) : setTimeout(ask, 50); ask(); }})"},
        {"run": "document.activeElement.id"},
    )  # fmt: skip
    assert 66 <= seconds < 76
    assert focus == "player"


def test_without_a_script_links_and_the_switch_still_work(built: Path) -> None:
    """Media Fragments URI 1.0 (W3C): #t= in seconds; the switch is the style sheet's own."""
    page = (built / "handout.html").as_uri()
    seen = (
        "[...document.querySelectorAll('.need .figure, .do .in-first, .do .in-second')]"
        ".filter((one) => one.getClientRects().length).map((one) => one.innerText).join('|')"
    )
    out = browse(
        {"open": page, "scripts": False},
        {"run": seen},
        {"run": "document.getElementById('units-first').checked = true"},
        {"run": seen},
        {"run": "document.getElementById('units-second').checked = true"},
        {"run": seen},
        {"run": "document.querySelector('.chapters a').getAttribute('href')"},
        {"run": "document.getElementById('size-live').hidden"},
        {"run": "document.querySelectorAll('#your-size .schedule tbody tr').length"},
    )
    # a number and its unit are parted by a space at which no line breaks
    both, first, second = (one.replace("\u00a0", " ") for one in (out[1], out[3], out[5]))
    assert " mm" in both
    assert " in" in both
    assert " mm" in first
    assert not re.search(r"\d in\b", first)
    assert re.search(r"\d in\b", second)
    assert " mm" not in second
    assert "(" not in first + second
    assert out[6] == "film.mp4#t=0.0"
    assert out[7] is True
    assert out[8] == 8


def test_the_size_box_by_keyboard_alone(built: Path) -> None:
    """Tab from the heading's link to the fields; figures are typed, the answer is spoken."""
    here = {"run": "document.activeElement.id"}
    steps: list[dict[str, Any]] = [
        {"open": (built / "handout.html").as_uri()},
        {"run": "document.getElementById('size-unit').focus()"},
        {"key": "Tab"},
        here,
        {"run": "document.activeElement.select()"},
        {"type": "50"},
        {"key": "Tab"},
        here,
        {"type": "34"},
        {"key": "Tab"},
        here,
        words("#size-answer"),
        words("#size-figures tbody tr:nth-child(3) td"),
        {"run": "document.activeElement.select()"},
        {"type": "36"},
        words("#size-answer"),
        {"run": "document.getElementById('size-reply').value"},
        {"run": put("size-unit", "imperial")},
        {"run": "document.getElementById('size-blank').value"},
        {"run": "document.getElementById('size-answer').getAttribute('role')"},
    ]  # fmt: skip
    out = browse(*steps)
    assert [out[3], out[7], out[10]] == ["size-blank", "size-rim", "size-plate"]
    assert parted(out[11]).startswith(
        "It fits, but mind: a rim of 34 mm (1 11/32 in) holds it weakly"
    )
    assert NO_BREAK in out[11], "no line ends between a number and its unit"
    assert out[12] == f"14.6{NO_BREAK}mm"
    assert "a plate of 36 stops has none at each of 8 marks" in out[15]
    assert "It does not fit, because" in out[16]
    assert out[18] == "1 31/32 in"
    assert out[19] == "status"


def test_every_control_is_reached_by_tab_and_shows_it(built: Path) -> None:
    """WCAG 2.2, 2.1.1 and 2.4.7: each link, field and button in turn, with an outline."""
    there = (
        "document.querySelectorAll('a[href], button:not([hidden]), input, select:not([hidden]),"
        "textarea, video').length"
    )
    radios = 2  # three radio buttons are one stop
    page = (built / "handout.html").as_uri()
    [_, count] = browse({"open": page}, {"run": there})
    look = {
        "run": "(() => { const one = document.activeElement, style = getComputedStyle(one);"
        "return [one.tagName + '#' + one.id, style.outlineStyle !== 'none']; })()"
    }
    steps: list[dict[str, Any]] = [{"open": page}]
    for _ in range(count - radios):
        steps += [{"key": "Tab"}, look]
    found = [said for step, said in zip(steps, browse(*steps), strict=True) if step is look]
    # the fallback link inside the player is for browsers without one
    names = {name for name, _ in found}
    wanted = {"VIDEO#player", "INPUT#units-both", "SELECT#size-unit", "INPUT#size-blank",
              "INPUT#size-rim", "INPUT#size-plate", "TEXTAREA#size-reply",
              "BUTTON#size-copy"}  # fmt: skip
    assert wanted <= names
    assert ["VIDEO#player", True] in found
    # inside the player the browser's own buttons show it; after the last link comes its window
    ours = [one for one in found if one[0] not in ("VIDEO#player", "BODY#")]
    assert [name for name, outlined in ours if not outlined] == []


@pytest.mark.parametrize("name", ["globe", "lobed-globe"])
def test_hostile_texts_run_nothing(name: str, tmp_path: Path) -> None:
    page = tmp_path / "handout.html"
    page.write_text(plain(PAPERS["handout.html"](hostile(name))), encoding="utf-8")
    # a box of the page's own is how a script of a title's would be noticed
    [_, scripts, answer, reply, wide] = browse(
        {"open": page.as_uri(), "width": 360},
        {"run": "document.scripts.length"},
        words("#size-answer"),
        {"run": "document.getElementById('size-reply').value"},
        {"run": "document.documentElement.scrollWidth"},
    )
    assert scripts == 2
    assert answer == "It fits."
    assert '</script><script>alert("x")</script>' in reply
    assert NO_BREAK not in reply, "what is pasted elsewhere has plain spaces"
    assert wide <= 360


def test_tools_named_leftwards_make_no_page_wider(tmp_path: Path) -> None:
    """Their marks stand at the right, beside the list."""
    episode = open_episode(shipped("designs") / "globe.yaml")
    step = replace(episode.steps[0], tools=("מפסלת גילוף לעץ", "أزميل", "gouge"))
    page = tmp_path / "handout.html"
    made = replace(episode, steps=(step, *episode.steps[1:]))
    page.write_text(plain(PAPERS["handout.html"](made)), encoding="utf-8")
    for width in (320, 360):
        [_, wide] = browse(
            {"open": page.as_uri(), "width": width},
            {"run": "document.documentElement.scrollWidth"},
        )
        assert wide == width
