"""A look of a turner's own: what it may replace, what it may not do, and what the check finds."""

from __future__ import annotations

import contextlib
import re
import shutil
import time
from dataclasses import replace
from pathlib import Path

import pytest
from jinja2 import nodes

import studio.paper
from studio import cli
from studio.check import cautions, credits, papers, pdfs
from studio.check.context import Context
from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.files import write_outputs
from studio.measure.trace import plain
from studio.paper.looks import (
    DARK,
    MOST_BYTES,
    OURS_ALONE,
    STYLE,
    LookEnvironment,
    PageLook,
    on_dark_screens,
    style_fault,
)
from studio.paper.papers import PAPERS, paper_files, papers_of
from studio.paper.pdfs import pdf_files
from studio.paper.rendering import _FILTERS, style
from studio.resources import shipped

TEMPLATES = Path(studio.paper.__file__).parent / "templates"
DOCS = Path(__file__).parents[2] / "docs" / "paper.md"


@pytest.fixture
def moss(folder: Path) -> Path:
    """An empty look, named in the workshop file."""
    workshop = folder / "workshop.yaml"
    workshop.write_text(workshop.read_text("utf-8") + "\npages: moss\n", "utf-8")
    place = folder / "looks" / "moss"
    place.mkdir(parents=True)
    return place


def made(folder: Path) -> dict[str, bytes]:
    """All papers and their PDFs."""
    episode = open_episode(folder / "globe.yaml")
    pages = paper_files(episode)
    return pages | pdf_files(episode, "A4", pages)


def one_paper(folder: Path, name: str) -> str:
    """One of the papers, marked."""
    return PAPERS[name](open_episode(folder / "globe.yaml"))


def refused(folder: Path, paper: str = "") -> tuple[str, int | None, str]:
    """File, line and words of the one error of a build, or of one of its papers."""
    with pytest.raises(BadInput) as caught:
        one_paper(folder, paper) if paper else made(folder)
    (fault,) = caught.value.faults
    assert fault.write
    assert fault.file is not None
    return fault.file.name, fault.line, fault.what


def built(folder: Path, out: Path) -> set[tuple[str, str]]:
    """What the checks of papers find in them, each code and file once."""
    files = made(folder)
    write_outputs(out, files)
    context = Context.of(folder / "globe.yaml", out)
    outcome = cautions.check(context) + credits.check(context) + pdfs.check(context)
    for name in papers_of(context.episode):
        outcome += papers.check_file(context, name)
    return {(one.code, one.where) for one in outcome.findings if one.where in files}


@pytest.mark.parametrize("name", ["globe", "crowned-globe"])
def test_our_templates_as_a_look_give_our_pages(name: str, tmp_path: Path) -> None:
    """The sandbox of a look has all that a page needs."""
    for path in TEMPLATES.iterdir():
        if path.name != "check.html.j2" and (path.suffix == ".j2" or path.name == STYLE):
            shutil.copy(path, tmp_path / path.name)
    episode = open_episode(shipped("designs") / f"{name}.yaml", pieces=24)
    own = replace(episode, pages=tmp_path)
    # a style sheet of its own says nothing of dark screens
    dark = on_dark_screens(style(DARK))
    for paper, render in papers_of(episode).items():
        assert render(own) == render(episode).replace(dark, ""), paper


def put_example(moss: Path) -> set[str]:
    """The look that the page on papers begins with; the names of its files."""
    found = re.findall(
        r"```(?:css|html)\n((?:/\*|\{#) looks/moss/(\S+) .*?)```",
        DOCS.read_text("utf-8"),
        re.DOTALL,
    )
    for text, name in found:
        (moss / name).write_text(text, "utf-8")
    return {name for _, name in found}


def test_a_look_has_every_filter_and_test_that_our_templates_use(tmp_path: Path) -> None:
    """Whatever branch of a template asks for it: a corrected design prints what others do not."""
    own = LookEnvironment(PageLook(tmp_path, {}), TEMPLATES, _FILTERS, bool)
    for path in TEMPLATES.glob("*.j2"):
        if path.name in OURS_ALONE:
            continue
        tree = own.parse(path.read_text("utf-8"))
        assert {one.name for one in tree.find_all(nodes.Filter)} <= set(own.filters), path.name
        assert {one.name for one in tree.find_all(nodes.Test)} <= set(own.tests), path.name


def test_the_example_of_the_page(folder: Path, moss: Path, tmp_path: Path) -> None:
    assert put_example(moss) == {"extra.css", "dark.css", "demonstration.html.j2"}
    out = tmp_path / "out"
    assert built(folder, out) == set()
    sheet = (out / "demonstration.html").read_text("utf-8")
    assert "<h2>Mind</h2>" in sheet
    assert "Order of cuts" not in sheet
    handout = (out / "handout.html").read_text("utf-8")
    assert "--accent: #2f5d1e" in handout
    assert "--accent: #1d5a4a" in handout  # ours comes first
    assert (out / "demonstration.pdf").read_bytes().startswith(b"%PDF")


ON_DARK = "prefers-color-scheme: dark"


@pytest.mark.parametrize("name", ["extra.css", "paper.css"])
def test_a_look_that_says_nothing_of_dark_screens_stays_light(
    name: str, folder: Path, moss: Path
) -> None:
    (moss / name).write_text("body { background: #f3f6ec }", "utf-8")
    assert ON_DARK not in PAPERS["handout.html"](open_episode(folder / "globe.yaml"))
    (moss / "dark.css").write_text("body { background: #141a10 }", "utf-8")
    page = PAPERS["handout.html"](open_episode(folder / "globe.yaml"))
    ours, own = page.split(f"@media screen and ({ON_DARK}) {{")[1:]
    assert "--ink: #ece6d9" in ours
    assert "background: #141a10" in own, "the look's own come last"


def changed(moss: Path, name: str, old: str, new: str) -> None:
    text = (TEMPLATES / name).read_text("utf-8")
    assert text.count(old) == 1, (name, old, text.count(old))
    (moss / name).write_text(text.replace(old, new), "utf-8")


def test_cautions_left_out_are_found(folder: Path, moss: Path, tmp_path: Path) -> None:
    changed(moss, "cut-sheet.html.j2", "{{ parts.cautions(step, true) }}", "")
    changed(moss, "demonstration.html.j2", "{% for c in brief.cautions %}",
            "{% for c in brief.cautions[1:] %}")  # fmt: skip
    assert built(folder, tmp_path / "out") == {
        ("missing-caution", "cut-sheet.html"),
        ("missing-caution", "demonstration.html"),
    }


def test_cautions_that_nobody_sees_are_found(folder: Path, moss: Path, tmp_path: Path) -> None:
    changed(moss, "cut-sheet.html.j2", "{{ parts.cautions(step, true) }}",
            "<div hidden>{{ parts.cautions(step, true) }}</div>")  # fmt: skip
    assert built(folder, tmp_path / "out") == {("missing-caution", "cut-sheet.html")}


def test_cautions_and_credit_in_markup_that_hides_are_found(
    folder: Path, moss: Path, tmp_path: Path
) -> None:
    told = "{{ parts.cautions(step, true) }}"
    changed(moss, "cut-sheet.html.j2", told,
            f"<details><summary>Safety</summary>{told}</details>")  # fmt: skip
    changed(moss, "handout.html.j2", '<section aria-labelledby="credit-head">',
            '<section popover aria-labelledby="credit-head">')  # fmt: skip
    out = tmp_path / "out"
    assert built(folder, out) == {
        ("missing-caution", "cut-sheet.html"),
        ("missing-credit", "handout.html"),
    }
    context = Context.of(folder / "globe.yaml", out)
    shut = cautions.check(context).findings[0]
    assert shut.said == "(out of sight, within <details>)"
    assert "write <details open>" in shut.expected
    assert credits.check(context).findings[0].said == "(out of sight, within <section popover>)"
    sheet = (moss / "cut-sheet.html.j2").read_text("utf-8")
    (moss / "cut-sheet.html.j2").write_text(sheet.replace("<details>", "<details open>"), "utf-8")
    assert built(folder, out) == {("missing-credit", "handout.html")}


def test_the_note_credit_and_licence_left_out_are_found(
    folder: Path, moss: Path, tmp_path: Path
) -> None:
    text = (TEMPLATES / "demonstration.html.j2").read_text("utf-8")
    text = text.replace('{{ e.licence | origin("licence") }}', "as we like it")
    text = text.replace('{{ e.demo_note | origin("demo-note") }}', "")
    (moss / "demonstration.html.j2").write_text(text, "utf-8")
    changed(moss, "description.txt.j2", '{{ e.credit | lines("credit") }}', "")
    assert built(folder, tmp_path / "out") == {
        ("missing-credit", "demonstration.html"),
        ("missing-note", "demonstration.html"),
        ("missing-credit", "description.txt"),
    }


@pytest.mark.parametrize("name", ["newsletter.txt", "newsletter.md", "script.md"])
def test_texts_are_looked_at_too(name: str, folder: Path, moss: Path, tmp_path: Path) -> None:
    (moss / f"{name}.j2").write_text("{{ e.title }}\n", "utf-8")
    due = {("missing-caution", name), ("missing-note", name)}
    if name != "script.md":
        due.add(("missing-credit", name))
    assert built(folder, tmp_path / "out") == due


def test_a_number_typed_into_a_template_is_found(folder: Path, moss: Path, tmp_path: Path) -> None:
    changed(moss, "demonstration.html.j2", "{% trans %}Key sizes{% endtrans %}",
            "Key sizes of 61 mm")  # fmt: skip
    assert built(folder, tmp_path / "out") == {("untraced-number", "demonstration.html")}


def page(body: str) -> str:
    return (
        '{% import "parts.html.j2" as parts with context %}\n<!DOCTYPE html>\n'
        '<html lang="en-GB">\n<head>\n{{ parts.head(e, "x", style) }}\n</head>\n<body>\n'
        f"{body}\n"
        "</body>\n</html>\n"
    )


BODY_LINE = 8


@pytest.mark.parametrize(
    "body",
    [
        "<script>alert(1)</script>",
        "<scr{{ 'ipt' | e }}>alert(1)</scr{{ 'ipt' }}>",
        '<script src="https://example.org/x.js"></script>',
        '<iframe src="https://example.org/"></iframe>',
        '<img src="https://example.org/x.png" alt="">',
        '<img src="//example.org/x.png" alt="">',
        '<img srcset="https://example.org/x.png 2x" alt="">',
        '<p onclick="alert(1)">x</p>',
        '<meta http-equiv="refresh" content="0; url=https://example.org/">',
        '<link rel="stylesheet" href="https://example.org/x.css">',
        '<a href="javascript:alert(1)">x</a>',
        '<form action="https://example.org/"></form>',
        '<p style="background: url(https://example.org/x.png)">x</p>',
        "<style>@import 'https://example.org/x.css';</style>",
        '<div style="display:none">{{ e.deference | origin("deference") }}</div>',
        '<base href="https://example.org/">',
        '<svg><image href="https://example.org/x.png"/></svg>',
        '<object data="x.swf"></object>',
    ],
)
def test_pages_ask_for_nothing(body: str, folder: Path, moss: Path) -> None:
    (moss / "reading.html.j2").write_text(page(body), "utf-8")
    name, line, _ = refused(folder, "reading.html")
    assert name == "reading.html.j2"
    assert line in (BODY_LINE, None)


@pytest.mark.parametrize(
    "body",
    [
        "<script>alert(1)</script>",
        "Turn <img src=x onerror=alert(1)> it.",
        '<iframe src="https://example.org/"></iframe>',
        "[press](javascript:alert(1))",
        "![a ball](https://example.org/x.png)",
        "<scr{{ 'ipt' }}>alert(1)</scr{{ 'ipt' }}>",
    ],
)
def test_markdown_of_a_look_brings_no_more_into_a_clubs_page(
    body: str, folder: Path, moss: Path
) -> None:
    whole = "{{ e.title | markdown }}\n\n"
    (moss / "newsletter.md.j2").write_text(whole + body + "\n", "utf-8")
    name, line, _ = refused(folder, "newsletter.md")
    assert name == "newsletter.md.j2"
    assert line in (3, None)


def test_markdown_of_a_look_may_lead_to_pages_and_hold_the_designs_own_signs(
    folder: Path, moss: Path
) -> None:
    (moss / "newsletter.md.j2").write_text(
        "# {{ e.title | markdown }}\n\n![ball](piece.png) <b>so</b> "
        "[club](https://club.example/) <https://club.example/x>\n", "utf-8",
    )  # fmt: skip
    design = folder / "globe.yaml"
    text = design.read_text("utf-8")
    design.write_text(
        text.replace("title: A plain", "title: <script>alert(1)</script> A plain", 1), "utf-8"
    )
    made = plain(PAPERS["newsletter.md"](open_episode(design)))
    assert made.startswith("# \\<script\\>alert")
    assert "<b>so</b> [club](https://club.example/)" in made


@pytest.mark.parametrize(
    "body",
    [
        "{{ e.design_file.read_text() }}",
        "{{ e.design_file }}",
        "{{ e.__class__.__mro__ }}",
        "{{ views.drawings_of.__globals__ }}",
        "{{ views.Path }}",
        "{{ views.mark('sphere.diameter', '1 mm') }}",
        "{{ ''.format.__self__ }}",
        "{{ '{0.__class__}'.format(e) }}",
        "{{ 'x'.ljust(100) }}",
        "{{ 'x' * 1000000000 }}",
        "{{ 9 ** 9 ** 9 }}",
        "{{ '%1000000000d' % 1 }}",
        "{{ 'x' | center(1000000000) }}",
        "{{ e | attr('title') }}",
        "{{ '<b>' | safe }}",
        "{{ lipsum() }}",
        "{{ self._TemplateReference__context }}",
        "{% for a in range(2000) %}{% endfor %}",
        "{% for a in range(1000) %}{% for b in range(1000) %}{% for c in range(1000) %}"
        "{% endfor %}{% endfor %}{% endfor %}",
        "{% for a in range(1000) %}{% for b in range(1000) %}{{ e.deference }}"
        "{% endfor %}{% endfor %}",
        "{% macro m(n) %}{{ m(n) }}{{ m(n) }}{% endmacro %}{{ m(1) }}",
        "{% macro m(n) %}{% if n %}{{ m(n - 1) }}{{ m(n - 1) }}{% endif %}{% endmacro %}"
        "{{ m(60) }}",
        "{% include 'reading.html.j2' %}",
        "{% include '../../globe.yaml' %}",
        "{% include '/etc/passwd' %}",
        "{% include 'paper.css' %}",
        "{% set n = namespace(a='xxxxxxxx') %}{% for i in range(60) %}{% set n.a = n.a ~ n.a %}"
        "{% endfor %}",
        "{% set n = namespace(a='xxxxxxxx') %}{% for i in range(60) %}{% set n.a = n.a + n.a %}"
        "{% endfor %}",
        "{% set n = namespace(a='xxxxxxxx') %}{% for i in range(60) %}"
        "{% set n.a = [n.a, n.a] | join %}{% endfor %}",
        "{% set n = namespace(a='xxxxxxxx') %}{% for i in range(60) %}"
        "{% set b %}{{ n.a }}{{ n.a }}{% endset %}{% set n.a = b %}{% endfor %}",
        "{% set n = namespace(a=[1]) %}{% for i in range(60) %}{% set n.a = n.a + n.a %}"
        "{% endfor %}",
        "{{ e.nothing }}",
        "{{ e.table['nothing'] }}",
        "{{ 1 / 0 }}",
        "{% if %}",
        "{{ e.title | nothing }}",
        "{% for x in e.steps %}",
    ],
)  # fmt: skip
def test_templates_are_a_strangers(body: str, folder: Path, moss: Path) -> None:
    (moss / "reading.html.j2").write_text(page(body), "utf-8")
    begin = time.perf_counter()
    name, line, what = refused(folder, "reading.html")
    assert time.perf_counter() - begin < 20
    assert name == "reading.html.j2"
    # a missing end is told where the file ends
    assert line is None or BODY_LINE <= line <= BODY_LINE + 3
    assert "Traceback" not in what
    assert len(what) < 300


def test_an_error_is_told_with_file_and_line(
    folder: Path, moss: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (moss / "reading.html.j2").write_text(page("<p>\n{{ e.nothing }}"), "utf-8")
    out = tmp_path / "none"
    assert cli.main(["build", str(folder / "globe.yaml"), "--out", str(out)]) == 2
    told = capsys.readouterr().err
    assert f"reading.html.j2:{BODY_LINE + 1}:1: " in told
    assert "nothing" in told
    assert not out.exists()


@pytest.mark.parametrize(
    "css",
    [
        "@import 'x.css';",
        "@IMPORT url(x.css);",
        "p { background: url(https://example.org/x.png) }",
        "p { background: url( 'http://example.org/x.png' ) }",
        "p { background: URL(x.png) }",
        r"p { background: \75rl(https://example.org/x.png) }",
        r"p { background: u\72 l(https://example.org/x.png) }",
        r"p { background: u\rl(x) }",
        r"@\69mport 'x.css';",
        "p { background: image-set('https://example.org/x.png' 1x) }",
        "@font-face { font-family: X; src: url(https://example.org/x.woff2) }",
        "</style><script>alert(1)</script>",
        ".cautions { display: none }",
        ".step .caution-text{visibility:hidden}",
        ".deference { opacity: 0; }",
        "@media print { .demo-note { display : none } }",
        ".short-cautions { font-size: 0 }",
        "li { position: absolute; left: -9999px }",
        "p { background: url(data:x",
        "q::before { content: 'x }",
    ],
)
def test_style_sheets_ask_for_nothing_and_hide_no_caution(
    css: str, folder: Path, moss: Path
) -> None:
    (moss / "extra.css").write_text(f"p {{ color: red }}\n{css}\n", "utf-8")
    assert refused(folder)[:2] == ("extra.css", 2)
    (moss / "extra.css").rename(moss / "dark.css")
    assert refused(folder)[:2] == ("dark.css", 2)


@pytest.mark.parametrize(
    "css",
    [
        "p { background: url(data:image/png;base64,AAAA) }",
        'p { fill: url("#grain") }',
        "/* url(https://example.org) is only talked of */ p { color: red }",
        ".cautions { font-size: 1rem; opacity: 0.9 }",
        'p::before { content: "\\201C" }',
        "nav { display: none }",
        ".masthead::before { opacity: 0; position: absolute; left: -9999px }",
        "p { font: 1rem/1.5 var(--plain); color: var(--ink); margin: 0 auto }",
        "h1 { font-size: clamp(1.75rem, 1.2rem + 2.6vw, 2.9rem); letter-spacing: -0.01em }",
        "p { background: linear-gradient(transparent, red) }",
        "p { background: url(data:image/svg+xml;utf8,<svg xmlns='x'/>) }",
        "p { background: url(data:image/svg+xml;utf8,a;b{c) } p { color: rgb(0 0 0 / 90%) }",
        "p { transform: rotate(3deg); inset: 0 auto auto; line-height: 1.2; max-height: 30rem }",
        "p { content: normal; clip-path: none; max-height: 0 }",
        "p { font-size-adjust: 0.5; contain: layout; container: size / inline-size }",
        "p { border: 1px solid #999999; border-radius: 999px; padding: 2rem; offset-path: none;"
        " border-image-slice: 600; border-color: #999999 }",
    ],
)
def test_what_a_style_sheet_may_do(css: str) -> None:
    assert style_fault(css) is None


@pytest.mark.parametrize("name", ["paper.css", "handout.css"])
def test_our_own_style_sheets_are_some(name: str) -> None:
    assert style_fault((TEMPLATES / name).read_text("utf-8")) is None


ROUNDABOUT = (
    "font-size: 0", "FONT-SIZE: 0PX !important", "font-size: 1px", "font-size: calc(1px - 1px)",
    "font: 0/0 a", "font: italic 1px/1 serif", "opacity: 0", "opacity: 1%", "o\\70 acity: 0",
    "opacity/**/: 0.01", "color: transparent", "color: rgba(0, 0, 0, 0)", "color: #0000",
    "color: #ffffff08", "color: rgb(0 0 0 / 5%)", "color: var(--none, transparent)",
    "-webkit-text-fill-color: transparent", "position: absolute; left: -9999px",
    "margin-left: -100vw", "text-indent: -999em", "translate: -9999px", "inset-inline-start: 200%",
    "transform: translateX(-9999px)", "transform: scale(0)", "transform: rotateX(90deg)",
    "scale: 0", "zoom: 0.01", "max-height: 0; overflow: hidden", "width: 0; overflow: clip",
    "max-height: 1em; overflow-y: auto", "clip-path: inset(50%)", "clip: rect(0 0 0 0)",
    "mask: linear-gradient(transparent, transparent)", "filter: opacity(0)", "filter: blur(9px)",
    "letter-spacing: -1em", "line-height: 0", "content: url(data:image/png;base64,AAAA)",
    "position: fixed", "z-index: -1", "font-size-adjust: 0", "font-size-adjust: cap-height 0.05",
    'offset-path: path("M-9999 0")', "offset: path('M-9999 0')", "container-type: size",
    "contain: size; overflow: clip; border: 0", "contain: strict", "container: x / size",
    "contain: paint; height: 0", "block-size: 0; contain: content", "word-spacing: -2000px",
    "padding-left: 3000px", "border-top: 900px solid red", "-webkit-text-security: disc",
    "-webkit-mask-box-image: linear-gradient(transparent, transparent)",
)  # fmt: skip


@pytest.mark.parametrize("declared", ROUNDABOUT)
def test_what_hides_in_a_roundabout_way_is_refused_on_whatever(declared: str) -> None:
    for css in (
        f"li {{ {declared} }}",
        f"@media print {{ main > * {{ {declared} }} }}",
        f".a {{ color: red; & .b {{ {declared} }} }}",
        f"@keyframes away {{ to {{ {declared} }} }}",
        f"p::before {{ content: 'x' }} p {{ {declared}",
    ):
        found = style_fault(css)
        assert found is not None, css
        assert "hides" in found[1]


@pytest.mark.parametrize("bracket", ["(", "[", "{", "a{", "f(", "@media print{"])
def test_brackets_without_end_are_told_and_break_nothing(bracket: str) -> None:
    found = style_fault(f"p {{ color: red }}\n{bracket * 20_000}")
    assert found is not None
    assert found[0] == 2


def test_a_value_behind_a_name_is_looked_at() -> None:
    assert style_fault(":root { --a: var(--b); --b: 0 } p { opacity: var(--a) }") is not None
    assert style_fault(":root { --a: 1rem } p { font-size: var(--a) }") is None
    cut = "p { max-height: 0; overflow: var(--a) }"
    assert style_fault(f":root {{ --a: hidden }} {cut}") is not None
    assert style_fault(f":root {{ --a: visible }} {cut}") is None


@pytest.mark.parametrize(
    "css",
    [
        "[role=note] { display: none }",
        ".step > div:last-child { display: none }",
        "main * { visibility: hidden }",
        ":is(.cautions, .x) { display: none }",
        "body { content-visibility: hidden }",
        ".steps { & li { display: none } }",
    ],
)
def test_cautions_are_not_taken_away_by_other_names(css: str, folder: Path, moss: Path) -> None:
    assert style_fault(css) is None, "the sheet alone does not tell"
    (moss / "extra.css").write_text(f"p {{ color: red }}\n{css}\n", "utf-8")
    episode = open_episode(folder / "globe.yaml")
    with pytest.raises(BadInput) as caught:
        PAPERS["handout.html"](episode)
    (fault,) = caught.value.faults
    assert fault.file is not None
    assert (fault.file.name, fault.line) == ("extra.css", 2)
    assert "hides a caution" in fault.what


def test_what_holds_no_caution_may_be_taken_away(folder: Path, moss: Path) -> None:
    css = "nav, .tools, footer ul, .masthead::before, figcaption { display: none }"
    (moss / "extra.css").write_text(css, "utf-8")
    for paper in ("handout.html", "cut-sheet.html"):
        assert css in PAPERS[paper](open_episode(folder / "globe.yaml"))


@pytest.mark.parametrize(
    ("name", "nearly"),
    [
        ("handuot.html.j2", "handout.html.j2"),
        ("cutsheet.html.j2", "cut-sheet.html.j2"),
        ("handout.html", "handout.html.j2"),
        ("extra.ccs", "extra.css"),
        ("ornament.html.j2", ""),
    ],
)
def test_a_file_that_no_page_uses_is_told(name: str, nearly: str, folder: Path, moss: Path) -> None:
    (moss / name).write_text("x", "utf-8")
    with pytest.raises(BadInput) as caught:
        PAPERS["reading.html"](open_episode(folder / "globe.yaml"))
    (fault,) = caught.value.faults
    assert fault.file is not None
    assert fault.file.name == name
    assert nearly in fault.write


def test_a_part_that_a_template_includes_and_a_note_to_oneself_are_used(
    folder: Path, moss: Path
) -> None:
    (moss / "ornament.html.j2").write_text("<hr>", "utf-8")
    (moss / "notes.md").write_text("where the green comes from", "utf-8")
    (moss / "reading.html.j2").write_text(page('{% include "ornament.html.j2" %}'), "utf-8")
    assert "<hr>" in PAPERS["reading.html"](open_episode(folder / "globe.yaml"))


def test_files_of_a_look_are_bounded_and_lie_in_it(folder: Path, moss: Path) -> None:
    (moss / "paper.css").write_text("p { color: red }\n" * (MOST_BYTES // 10), "utf-8")
    assert refused(folder)[::2] == ("paper.css", "this file is too large for a look")
    (moss / "paper.css").unlink()
    (moss / "extra.css").symlink_to(folder / "globe.yaml")
    assert "leads out of the folder" in refused(folder)[2]
    (moss / "extra.css").unlink()
    (moss / "handout.j2").write_text("x", "utf-8")
    assert refused(folder)[0] == "handout.j2"
    (moss / "handout.j2").unlink()
    (moss / "check.html.j2").write_text("all is well", "utf-8")
    assert refused(folder)[0] == "check.html.j2"
    (moss / "check.html.j2").unlink()
    (moss / "reading.html.j2").write_bytes(b"\xff\xfe")
    assert "UTF-8" in refused(folder)[2]
    (moss / "reading.html.j2").unlink()
    for number in range(30):
        (moss / f"part-{chr(97 + number % 26)}{number}.html.j2").write_text("x", "utf-8")
    assert "the most" in refused(folder)[2]


def test_a_look_that_is_not_there_is_told(folder: Path, moss: Path) -> None:
    moss.rmdir()
    name, line, what = refused(folder)
    assert (name, what) == ("workshop.yaml", "there is no folder looks/moss")
    assert line is not None
    (folder / "looks" / "moss").symlink_to(folder)
    assert "leads out" in refused(folder)[2]


def test_a_page_that_cannot_be_set_is_told(folder: Path, moss: Path) -> None:
    (moss / "cut-sheet.html.j2").write_text("<p>no body</p>", "utf-8")
    name, _, what = refused(folder)
    assert name == "cut-sheet.html.j2"
    assert "PDF" in what
    (moss / "cut-sheet.html.j2").write_text(
        page('<div class="cautions">x</div><table><tr><td colspan="9x">1</td></tr></table>'
             '<svg><path d="M0 0"/></svg><img alt="" src="x.png"><div class="need"></div>'), "utf-8"
    )  # fmt: skip
    # some such page can be set, some cannot; there is no third way
    with contextlib.suppress(BadInput):
        assert made(folder)["cut-sheet.pdf"].startswith(b"%PDF")
