"""The PDFs: the pages' own words on sheets, harmless whatever a design says, the same each time."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from html import unescape
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from pdfminer.high_level import extract_pages, extract_text
from pdfminer.layout import LTChar, LTContainer
from pypdf import PdfReader

from studio.check.comparing import compare
from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.errors import BadInput, WorkFailed
from studio.measure.trace import plain
from studio.paper import PAPERS
from studio.paper.papers import paper_files
from studio.paper.pdfs import (
    CUT_SHEET,
    HANDOUT,
    PAGE_SHEET,
    PAGES,
    PDFS,
    TEMPLATES,
    Source,
    marked_lines,
    pdf_files,
    pdf_sources,
    template_content,
)
from studio.paper.typeset import press
from studio.paper.typeset.page import LONGEST_WORD, Node, breakable, reads_leftwards, set_apart
from studio.paper.typeset.press import data_of, pressed, stamp_in

CODE = (
    '#read("/etc/passwd") $x$ #import "@preview/a:0.1.0" #eval("1") \\u{41} *s* _e_ @ref <label> '
    "// c /* d */ `raw` = h #let x = 1; [b] {c} ~ --- ..."
)
"""The press's own language: code, mathematics, references, comments, markup."""


def read(pdf: bytes) -> str:
    return extract_text(io.BytesIO(pdf))


def squeezed(text: str) -> str:
    """Without spaces, places to break and the signs that no face has."""
    return re.sub("[\\s\u200b\u00ad]+", "", text)


def words_of(nodes: Any) -> str:
    """All words that a page gives to the press, in order."""
    if isinstance(nodes, str):
        return nodes
    if isinstance(nodes, list):
        return " ".join(words_of(one) for one in nodes)
    if nodes.get("t") == "drawing":
        # a reader that goes by lines takes words that run upwards apart
        return ""
    return " ".join(
        words_of(nodes[key]) for key in ("i", "b", "caption", "head", "groups") if key in nodes
    )


def coded(episode: Episode) -> Episode:
    """The press's language wherever a design's text stands."""
    step = replace(episode.steps[0], title=CODE, do=CODE, tools=(CODE,))
    return replace(
        episode,
        title=CODE,
        summary=CODE,
        workshop=CODE,
        credit=CODE,
        licence=CODE,
        species=CODE,
        demo_note=CODE,
        steps=(step, *episode.steps[1:]),
    )


@pytest.mark.parametrize("name", PAGES)
def test_a_pdf_has_the_words_of_its_page(name: str, crowned: Episode) -> None:
    """Each word of the page, as often as the page has it, in what an independent reader finds."""
    page, render, _ = PAGES[name]
    body = set_apart(plain(render(crowned)))
    heard = [one for one in words_of(body).split() if one != "measured"]
    found = squeezed(read(pdf_files(crowned, "A4")[name]))
    for word, count in Counter(heard).items():
        assert found.count(squeezed(word)) >= count, (page, word)
    assert len(heard) > 400


@pytest.mark.parametrize("name", PAGES)
def test_nothing_that_the_page_shows_is_lost_on_the_way(name: str, crowned: Episode) -> None:
    """The page's own text, but for what only a screen or a narrow one shows."""
    html = plain(PAGES[name][1](crowned))
    body = html.partition("<body")[2].partition(">")[2]
    for unseen in (
        r"<nav.*?</nav>",
        r"<script.*?</script>",
        r'<(figure|fieldset|section|div|p) [^>]*class="[^"]*screen-only[^"]*".*?</\1>',
        r"<svg.*?</svg>",
        r'<span class="column">.*?</span>\s*(?=<span class="(?:words|figure))',
    ):
        body = re.sub(unseen, " ", body, flags=re.DOTALL)
    shown = Counter(squeezed(unescape(re.sub("<[^>]*>", " ", body))))
    kept = Counter(squeezed(words_of(set_apart(html))))
    assert shown == kept
    assert sum(shown.values()) > 2_000


def test_what_belongs_to_a_screen_is_left_out() -> None:
    html = (
        "<body><nav>menu</nav><form><input><button>go</button></form><video>v</video>"
        '<p class="screen-only">press</p><p hidden>gone</p><script>1</script>'
        '<p>kept <span class="screen-only">not</span> too</p></body>'
    )
    assert words_of(set_apart(html)).split() == ["kept", "too"]


def test_a_table_keeps_its_rows_and_spans() -> None:
    html = (
        "<body><table class='cuts'><caption>C</caption><thead><tr><th>a<th>b</tr></thead>"
        "<tbody><tr><th>x</th><td colspan='2'>y <b>z</b></td></tr></tbody></table></body>"
    ).replace("<th>a<th>b", "<th>a</th><th>b</th>")
    (table,) = set_apart(html)
    assert table["cols"] == 3
    assert table["caption"] == ["C"]
    assert [cell["span"] for cell in table["groups"][0][0]] == [1, 2]
    assert table["groups"][0][0][1]["i"] == ["y ", {"t": "b", "c": [], "i": ["z"]}]


@pytest.mark.parametrize("which", ["hostile_episode", "long_episode", "wide_episode", "coded"])
def test_hostile_texts_are_set_as_text(which: str, request: pytest.FixtureRequest) -> None:
    whole = coded(request.getfixturevalue("episode"))
    episode: Episode = whole if which == "coded" else request.getfixturevalue(which)
    files = pdf_files(episode, "A4")
    assert set(files) == set(PDFS)
    for name, pdf in files.items():
        reader = PdfReader(io.BytesIO(pdf))
        root = reader.trailer["/Root"]
        assert not {"/OpenAction", "/AA", "/AcroForm", "/Names"} & root.keys()
        for dangerous in (b"/JavaScript", b"/JS", b"/Launch", b"/EmbeddedFile", b"/GoToR"):
            assert dangerous not in pdf
        for page in reader.pages:
            for note in page.get("/Annots", []) or []:
                action = note.get_object().get("/A", {})
                if "/URI" in action:
                    assert re.match("https?:|mailto:", str(action["/URI"]))
        assert "root:" not in read(pdf), name
    text = squeezed(read(files[HANDOUT]))
    if which == "coded":
        # Markdown takes its own signs; what is left stands as it was typed
        assert text.count(squeezed('#read("/etc/passwd") $x$ #import "@preview/a:0.1.0"')) >= 4
    if which == "hostile_episode":
        assert squeezed('<script>alert("x")</script>') in text
        assert "{{7*7}}" in text


def letters(one: Any) -> list[LTChar]:
    if isinstance(one, LTChar):
        return [one]
    return [char for part in one for char in letters(part)] if isinstance(one, LTContainer) else []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("which", ["long_episode", "wide_episode", "hostile_episode"])
def test_no_letter_leaves_its_sheet(which: str, paper: str, request: pytest.FixtureRequest) -> None:
    for name, pdf in pdf_files(request.getfixturevalue(which), paper).items():
        for number, page in enumerate(extract_pages(io.BytesIO(pdf)), start=1):
            for char in letters(page):
                if char.get_text().strip():
                    where = (name, number, char.get_text(), char.bbox)
                    assert char.x0 >= 0, where
                    # a title's head is cut off at its box, not at the sheet
                    assert char.x1 <= page.width or char.y0 > page.height - 60, where


DROP = (
    "title: Ein Tropfen\nlanguage: de\nform: turned\nstock: {species: ash, diameter: 20 mm}\n"
    "parts:\n  tropfen:\n    profile:\n"
    "      - {shape: taper, length: 30 mm, start: 4 mm, end: 9 mm}\n"
    "      - {shape: bead, length: 10 mm, crown: 16 mm, start: 9 mm, end: 12 mm}\n"
    "      - {shape: cove, length: 10 mm, throat: 8 mm, start: 12 mm, end: 18 mm}\n"
    "      - {shape: fillet, length: 4 mm, diameter: 18 mm}\n"
    "steps:\n  - {id: form, title: Drehen, do: Drehen., does: [spindle-running]}\n"
)


def set_over(pdf: bytes) -> list[tuple[int, str, str]]:
    """Letters that stand on another one, by the page."""
    found = []
    for number, page in enumerate(extract_pages(io.BytesIO(pdf)), start=1):
        lines: dict[int, list[LTChar]] = {}
        for char in letters(page):
            if char.get_text().strip():
                middle = (char.y0 + char.y1) / 2
                lines.setdefault(round(middle / 4), []).append(char)
        for at, line in lines.items():
            beside = sorted((*line, *lines.get(at + 1, ())), key=lambda one: one.x0)
            for one, other in pairwise(beside):
                high = min(one.y1, other.y1) - max(one.y0, other.y0)
                wide = min(one.x1, other.x1) - max(one.x0, other.x0)
                if high > 0.5 * other.height and wide > 0.3 * other.width:
                    found.append((number, one.get_text(), other.get_text()))
    return found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_word_of_a_table_is_set_over_what_stands_beside_it(paper: str, folder: Path) -> None:
    """The last station's word is a long one in German: "Plättchen, Verbindungsende"."""
    path = folder / "tropfen.yaml"
    path.write_text(DROP, encoding="utf-8")
    made = pdf_files(open_episode(path), paper)
    for name in (HANDOUT, CUT_SHEET):
        assert "Verbindungsende" in squeezed(read(made[name]))
        assert set_over(made[name]) == [], name


HUNG = (
    "title: Icicle\nform: turned\nstock: {species: cherry, diameter: 24 mm}\n"
    "parts:\n  icicle:\n    place: bottom\n    profile: [{shape: taper, length: 60 mm, "
    "start: 5 mm, end: 7 mm}, {shape: fillet, length: 22 mm, diameter: 20 mm}]\n"
    "hanger: {wire: 22 AWG, strands: 3, pitch: 5 mm, hole_depth: 12 mm}\n"
    "steps:\n  - {id: hang, title: Hang it, part: icicle, does: [spindle-running], "
    "stage: general, do: Hang it., show: [hanger.in, hanger.cut]}\n"
)


@pytest.mark.parametrize("name", [HANDOUT, CUT_SHEET])
def test_long_words_in_a_figures_place_leave_their_label_its_room(name: str, folder: Path) -> None:
    """A label stands on a line or two, as it does where a figure stands beside it."""
    path = folder / "icicle.yaml"
    path.write_text(HUNG, encoding="utf-8")
    text = read(pdf_files(open_episode(path), "A4")[name])
    assert "The hanger is glued into" in text
    assert "Wire to cut, for each folded" in text
    assert re.search(r"the joint end of [^\n]*icicle", text)


def test_long_words_may_break_and_are_found_whole(long_episode: Episode) -> None:
    word = "x" * (2 * LONGEST_WORD + 1)
    assert breakable(f"a {word} b").split("\u200b") == [
        "a " + "x" * LONGEST_WORD,
        "x" * LONGEST_WORD,
        "x b",
    ]
    spelt = "Gleichgewichtsfeuchtigkeiten"
    assert breakable(f"({spelt}),") == f"({spelt}),"
    assert "x" * 200 in squeezed(read(pdf_files(long_episode, "A4")[HANDOUT]))


def test_a_numbered_list_is_numbered(episode: Episode) -> None:
    step = replace(episode.steps[0], do="Then:\n\n1. rough it\n2. sand it")
    text = read(pdf_files(replace(episode, steps=(step,)), "A4")[HANDOUT])
    assert "1.roughit" in squeezed(text)
    assert "2.sandit" in squeezed(text)


def test_what_reads_leftwards_is_told() -> None:
    assert reads_leftwards("12 كرة")
    assert reads_leftwards("שלום 3 mm")
    assert not reads_leftwards("3 mm כדור, a ball"[:4] + "a כדור")
    (node,) = set_apart('<body><p dir="auto">كرة 60 mm</p></body>')
    assert node["rtl"] is True


def test_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    code = (
        "import sys, hashlib; from pathlib import Path; "
        "from studio.episode.assemble import open_episode; "
        "from studio.resources import shipped; from studio.paper.pdfs import pdf_files; "
        "e = open_episode(shipped('designs') / 'globe.yaml'); "
        "print({n: hashlib.sha256(b).hexdigest() for n, b in pdf_files(e, 'A4').items()})"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=place
        ).stdout
        for place in (tmp_path, Path.cwd())
    }
    assert len(runs) == 1


def test_no_date_and_no_path_is_inside(episode: Episode) -> None:
    for pdf in pdf_files(episode, "A4").values():
        assert b"/CreationDate" not in pdf
        assert str(Path(press.__file__).parent).encode() not in pdf


def test_what_was_made_of_the_same_is_taken_over(
    episode: Episode, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = pdf_files(episode, "A4")

    def refused(self: Source) -> bytes:
        raise AssertionError("pressed once more")

    monkeypatch.setattr(Source, "press", refused)
    again = pdf_files(episode, "A4", paper_files(episode), first.get)
    assert again == first
    for changed, paper in ((replace(episode, title="Another"), "A4"), (episode, "Letter")):
        with pytest.raises(AssertionError, match="pressed once more"):
            pdf_files(changed, paper, None, first.get)


def test_a_stamp_tells_the_sheet_and_the_press(
    episode: Episode, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = pdf_sources(episode, "A4")[CUT_SHEET]
    before = source.stamp
    assert stamp_in(source.press()) == before
    monkeypatch.setattr(press, "_edition", lambda: b"another press")
    assert source.stamp != before
    assert Source("templates.typ", source.data).stamp != Source(PAGE_SHEET, source.data).stamp
    assert stamp_in(b"%PDF-1.7 of somebody else's") == ""


def test_every_design_can_be_set(drawn: dict[str, Episode]) -> None:
    for name, episode in drawn.items():
        files = pdf_files(episode, "Letter" if len(name) % 2 else "A4")
        assert set(files) == set(PDFS), name
        for pdf in files.values():
            # the standard is refused, and left, only where a sign has no face
            assert b"pdfuaid:part" in pdf, name


def test_every_figure_on_a_template_is_traced(drawn: dict[str, Episode], crowned: Episode) -> None:
    for made in (*drawn.values(), crowned):
        episode = replace(made, title="A design")
        for paper in ("A4", "Letter"):
            words = "\n".join(marked_lines(template_content(episode, paper)))
            outcome = compare(episode, TEMPLATES, words, plain(words))
            assert outcome.findings == (), made.name
            assert outcome.traced >= 10


def test_an_untraced_figure_would_be_found(episode: Episode) -> None:
    content = template_content(episode, "A4")
    content["items"][0]["how"] += " Cut 3 mm deep."
    words = "\n".join(marked_lines(content))
    (finding,) = compare(episode, TEMPLATES, words, plain(words)).findings
    assert (finding.code, finding.said) == ("untraced-number", "3")


def test_too_much_text_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(press, "MAX_BYTES", 100)
    with pytest.raises(BadInput, match="shorten the texts"):
        data_of({"title": "x" * 200})


def test_a_fault_of_a_sheet_is_ours(episode: Episode) -> None:
    data = json.loads(pdf_sources(episode, "A4")[HANDOUT].data)
    data["sheet"] = "A0"
    with pytest.raises(WorkFailed, match=r"page\.typ could not be set"):
        pressed(PAGE_SHEET, data_of(data))


def test_the_sheets_hold_no_figure_of_their_own() -> None:
    """Between quotation marks or brackets a sheet's source has no digit that would be printed."""
    for sheet in press.SHEETS.glob("*.typ"):
        source = sheet.read_text(encoding="utf-8")
        style = re.search(r'#let drawing-style = ".*?"\n', source, re.DOTALL)
        source = source.replace(style[0], "") if style else source
        contents = re.findall(r"(?<![\w)])\[([^\[\]]*)\]", source)
        assert all(not re.search(r"\d", re.sub(r"#h\([^)]*\)", "", one)) for one in contents), sheet


def test_corrections_are_on_the_handout(corrected: Episode) -> None:
    text = squeezed(read(pdf_files(corrected, "A4")[HANDOUT]))
    for one in corrected.corrections:
        assert squeezed(one.reason) in text
        for change in one.changes:
            assert squeezed(change.old) in text


def test_a_corrected_figure_stands_out_and_what_it_was_does_not(corrected: Episode) -> None:
    """The first sheet's faces, as pypdf reads them."""
    faces: list[tuple[str, str]] = []

    def seen(text: str, _cm: Any, _tm: Any, font: Any, _size: Any) -> None:
        faces.append((squeezed(text), str(font["/BaseFont"]) if font else ""))

    pdf = pdf_files(corrected, "A4")[HANDOUT]
    PdfReader(io.BytesIO(pdf)).pages[0].extract_text(visitor_text=seen)
    (change,) = corrected.corrections[0].changes
    text = "".join(words for words, _ in faces)
    each = [face for words, face in faces for _ in words]
    at = text.index(squeezed(f"{change.new}, not {change.old}"))
    new, old = each[at], each[at + len(squeezed(f"{change.new}, not "))]
    assert "bold" in new.casefold()
    assert "bold" not in old.casefold()


@pytest.fixture
def corrected(episode: Episode) -> Episode:
    from studio.episode.records import Change, Correction

    change = Change(
        name="sphere.set_in",
        label="set-in",
        old="17.9 mm (45/64 in)",
        new="17.5 mm (11/16 in)",
    )
    return replace(
        episode,
        corrections=(Correction(on="2026-03-01", reason="Measured anew.", changes=(change,)),),
    )


def test_a_page_is_set_from_what_was_rendered(episode: Episode) -> None:
    files = {name: plain(render(episode)).encode() for name, render in PAPERS.items()}
    assert pdf_sources(episode, "A4", files) == pdf_sources(episode, "A4")
    changed = files | {"handout.html": files["handout.html"].replace(b"17.5 mm", b"17.8 mm")}
    assert pdf_sources(episode, "A4", changed)[HANDOUT] != pdf_sources(episode, "A4")[HANDOUT]


def test_nodes_are_plain_data(crowned: Episode) -> None:
    nodes: list[Node] = set_apart(plain(PAGES[HANDOUT][1](crowned)))
    assert json.loads(json.dumps(nodes)) == nodes
