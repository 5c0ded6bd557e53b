"""What every paper holds, and that each number on it can be traced."""

from __future__ import annotations

import base64
import hashlib
import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from html import escape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from studio.check.comparing import compare
from studio.episode.assemble import open_episode
from studio.episode.records import Chapter, Episode, Link
from studio.errors import BadInput
from studio.measure.trace import END, START, plain, spans
from studio.paper import ORIGINS, PAPERS, visible_text
from studio.paper.drawings import drawings_of
from studio.paper.structured import structured_data
from studio.paper.unbroken import NO_BREAK, parted

PAGES = ("handout.html", "cut-sheet.html")


def seen(name: str, episode: Episode) -> str:
    """The paper as read, with its marks."""
    marked = PAPERS[name](episode)
    return visible_text(marked) if name.endswith(".html") else marked


def untraced(text: str) -> list[str]:
    """Every character that says a number and stands outside a mark."""
    bare = re.sub(f"{START}[^{END}]*{END}", "\n", text)
    return [char for char in bare if unicodedata.category(char) in {"Nd", "No", "Nl"}]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("units", ["episode", "imperial_episode"])
def test_no_number_is_untraced(paper: str, units: str, request: pytest.FixtureRequest) -> None:
    assert untraced(seen(paper, request.getfixturevalue(units))) == []


def test_an_untraced_number_would_be_found(episode: Episode) -> None:
    step = replace(episode.steps[0], do="Cut ¾ in, then 3 mm.", say="Cut 7 mm.")
    bad = replace(episode, steps=(step, *episode.steps[1:]))
    assert untraced(seen("handout.html", bad)) == ["¾", "3"]
    assert untraced(seen("script.md", bad)) == ["7"]


@pytest.mark.parametrize("paper", PAPERS)
def test_every_mark_says_what_its_name_says(paper: str, episode: Episode) -> None:
    """Each marked text is the measurement's own, or comes from a known origin."""
    _, found = spans(seen(paper, episode))
    assert found
    for span in found:
        if span.name in episode.table:
            m = episode.table[span.name]
            assert span.text in {m.text, m.other, m.both}, span
        else:
            assert span.name.partition(":")[0] in ORIGINS, span


@pytest.mark.parametrize("paper", PAPERS)
def test_no_mark_is_left_in_the_file_or_in_an_attribute(paper: str, episode: Episode) -> None:
    marked = PAPERS[paper](episode)
    assert not set("\ue000\ue001\ue002") & set(plain(marked))
    assert len(spans(marked)[1]) == marked.count(START) == marked.count(END)
    assert not re.search(f'="[^"]*{START}', marked)


@pytest.mark.parametrize("paper", PAGES)
def test_each_step_has_its_number_title_and_complete_cautions(paper: str, episode: Episode) -> None:
    steps = re.findall(r'<li class="step"[^>]*>.*?</h3>.*?(?=<li class="step"|</ol>)',
                       PAPERS[paper](episode), re.DOTALL)  # fmt: skip
    assert len(steps) == len(episode.steps)
    for step, html in zip(episode.steps, steps, strict=True):
        text = plain(visible_text(html))
        assert text.startswith(f"{step.number} {plain(step.title)}")
        for caution in step.cautions:
            assert plain(caution.short) in text
            assert plain(caution.text) in text


def test_handout_tells_all_measurements_in_both_systems(
    episode: Episode, imperial_episode: Episode
) -> None:
    for each in (episode, imperial_episode):
        lines = plain(seen("handout.html", each)).split("\n")
        for m in each.table.values():
            at = lines.index(m.label, lines.index("Measurement"))
            assert lines[at + 1] == m.text
            if m.other:
                assert lines[at + 2] == m.other
            how = " ".join(part for part in (m.where, m.formula, m.rule) if part)
            if how:
                assert any(line.startswith(how) for line in lines[at + 2 : at + 4])


def test_handout_puts_the_bench_rule_beside_the_exact_value(episode: Episode) -> None:
    text = plain(seen("handout.html", episode))
    assert (
        "Bench rule: a quarter of the octagon’s side: 6.2 mm (15/64 in); "
        "corners 0.6 mm proud instead of 0.5" in text
    )


def test_first_system_stands_first(episode: Episode, imperial_episode: Episode) -> None:
    assert "Metric\nImperial" in seen("handout.html", episode)
    assert "Imperial\nMetric" in seen("handout.html", imperial_episode)
    assert "Set in 11/16 in from" in plain(seen("script.md", imperial_episode))
    assert "set-in: 11/16 in (17.5 mm)" in plain(seen("description.txt", imperial_episode))


def test_handout_holds_its_other_parts(episode: Episode) -> None:
    text = plain(seen("handout.html", episode))
    for part in (
        "Fernhollow Bench",
        "A plain 60 mm globe in sycamore",
        "A ball of 60 mm (2 3/8 in) turned between centres",
        "sycamore",
        "roughing gouge",
        "blank, length\n130 mm (5 1/8 in)",
        episode.deference,
        "EN 166:2001",
        "geometry of the regular octagon",
        "older than any book",
        "CC BY-SA 4.0",
        "All handouts https://fernhollow.example/handouts/1",
        episode.demo_note,
    ):
        assert part in text


def test_cut_sheet_leaves_a_place_for_each_measured_size(episode: Episode) -> None:
    html = parted(PAPERS["cut-sheet.html"](episode))
    rows = sum(len(step.shows) for step in episode.steps) + 4  # blank, wire and drill
    assert html.count('<td class="pencil">') == rows
    for step in episode.steps:
        for m in step.shows:
            assert f'<span class="figure big">{m.marked()}</span>' in html


def test_script_is_said_and_shown_in_order(episode: Episode) -> None:
    text = plain(PAPERS["script.md"](episode))
    at = 0
    for step in episode.steps:
        for part in (
            f"## {step.number} · {plain(step.title)}\n",
            plain(step.say),
            *(f"{m.label}" for m in step.shows),
            *(f"- {plain(c.short)}\n" for c in step.cautions),
        ):
            at = text.index(part, at)
    assert "octagon side, flat on top of the cylinder: **25 mm** (15/16 in)" in text


def test_description_opens_with_title_and_lists_chapters_before_the_summary(
    episode: Episode,
) -> None:
    lines = plain(PAPERS["description.txt"](episode)).split("\n")
    assert lines[0] == "A plain 60 mm globe in sycamore"
    at = lines.index("CHAPTERS")
    assert at == 2
    assert lines[at + 5].startswith("A ball of 60 mm (2 3/8 in) turned between centres")
    assert lines[at + 1 : at + 5] == [
        "0:00 Rough and part", "1:10 The octagon", "2:55 Hang and sand", "",
    ]  # fmt: skip
    assert "– At most 2,550 rpm" in lines
    assert episode.deference in lines
    assert "All handouts: https://fernhollow.example/handouts/1" in lines


@pytest.mark.parametrize(
    ("stand", "order"),
    [
        ("first", ["CHAPTERS", "A ball of", "KEY MEASUREMENTS", "CREDIT"]),
        ("after-summary", ["A ball of", "CHAPTERS", "KEY MEASUREMENTS", "CREDIT"]),
        ("last", ["A ball of", "KEY MEASUREMENTS", "CREDIT", "CHAPTERS"]),
    ],
)
def test_chapters_stand_where_the_design_says(
    episode: Episode, stand: str, order: list[str]
) -> None:
    text = plain(PAPERS["description.txt"](replace(episode, chapters_stand=stand)))
    places = [text.index(head) for head in order]
    assert places == sorted(places)
    assert text.count("CHAPTERS") == 1
    assert "\n\n\n" not in text


def test_newsletter_says_the_same_in_both_forms(crowned: Episode) -> None:
    """Text and Markdown, read by a Markdown library, have the same words in the same order."""
    import markdown

    page = markdown.markdown(plain(PAPERS["newsletter.md"](crowned)))
    shown = re.sub(r"<[^>]+>", " ", page).replace("&amp;", "&")
    text = plain(PAPERS["newsletter.txt"](crowned))
    for step in crowned.steps:
        assert plain(step.title) in shown
        assert plain(step.title) in text
    figures = re.compile(r"\d[\d,./]*(?: \d+/\d+)? ?(?:mm|in|rpm|°)")
    assert sorted(figures.findall(shown)) == sorted(figures.findall(text))
    assert len(figures.findall(text)) > 100
    assert crowned.deference in text
    assert all(plain(c.short) in text for step in crowned.steps for c in step.cautions)


def test_newsletter_markdown_lets_no_markup_through(episode: Episode) -> None:
    import markdown

    hostile = replace(
        episode,
        title="<script>alert(1)</script> *a* # b",
        summary="<img src=x onerror=y> [x](javascript:alert(1)) | a\n\n# no heading",
        credit="<b>\n- no list\n1. nor this",
    )
    page = markdown.markdown(plain(PAPERS["newsletter.md"](hostile)), extensions=["tables"])
    for wrong in ("<script", "<img src=x", "<b>", 'javascript:alert(1)"', "<h1>no", "<li>no list"):
        assert wrong not in page


def test_description_without_chapters_has_no_empty_list(episode: Episode) -> None:
    assert "CHAPTERS" not in PAPERS["description.txt"](replace(episode, chapters=()))


def test_an_hour_long_film_has_long_stamps(episode: Episode) -> None:
    late = Chapter(title="Late", step_ids=("sand",), start_ms=3_725_000, end_ms=3_800_000)
    text = PAPERS["description.txt"](replace(episode, chapters=(*episode.chapters, late)))
    assert "1:02:05 Late" in plain(text)


def test_description_too_long_for_a_host_is_refused_in_words(episode: Episode) -> None:
    short = plain(PAPERS["description.txt"](replace(episode, credit="x")))
    room = 5_000 - len(short.encode()) + 1
    fits = replace(episode, credit="x" * room)
    assert len(plain(PAPERS["description.txt"](fits)).encode()) == 5_000
    with pytest.raises(BadInput) as caught:
        PAPERS["description.txt"](replace(episode, credit="x" * (room + 1)))
    fault = caught.value.faults[0]
    assert fault.file == episode.design_file
    assert "5,001 bytes; hosts take 5,000" in fault.what


def test_description_too_long_is_told_at_the_longest_text(globe: Path) -> None:
    text = globe.read_text(encoding="utf-8")
    credit = "credit: Shape and method"
    line = text[: text.index(credit)].count("\n") + 1
    globe.write_text(text.replace(credit, "credit: " + "very long " * 500), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        PAPERS["description.txt"](open_episode(globe))
    fault = caught.value.faults[0]
    assert (fault.file, fault.keys) == (globe, "credit")
    assert fault.line == line
    assert "shorten" in fault.write


def test_a_title_of_a_hundred_characters_is_the_longest(globe: Path, faults_of, edit) -> None:
    title = "A plain globe in sycamore"
    edit(globe, f"title: {title}", "title: " + "T" * 100)
    open_episode(globe)
    edit(globe, "T" * 100, "T" * 101)
    (fault,) = faults_of(globe)
    assert f"{globe}:2:8: title: the title has 101 characters" in fault
    assert "shorten it to 100" in fault


@pytest.mark.parametrize("paper", PAPERS)
def test_a_bare_episode_has_no_empty_parts(paper: str, episode: Episode) -> None:
    bare = replace(
        episode,
        credit="",
        licence="",
        demo_note="",
        species="",
        links=(),
        deference="",
        chapters=(),
        cards=(),
        steps=(),
        table=type(episode.table)([]),
    )
    text = plain(seen(paper, bare))
    assert "globe in sycamore" in text
    for head in ("Credit", "Licence", "Links", "Tools", "CHAPTERS", "LINKS", "SAFETY", "()"):
        assert head not in text


class Outline(HTMLParser):
    """Headings, elements and addresses of a page, read with the standard library."""

    VOID = frozenset({"meta", "br", "hr", "link", "img", "input", "source", "track"})

    def __init__(self, page: str) -> None:
        super().__init__()
        self.levels: list[int] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


@pytest.mark.parametrize("paper", PAGES)
@pytest.mark.parametrize("which", ["episode", "hostile_episode", "long_episode"])
def test_page_is_sound(paper: str, which: str, request: pytest.FixtureRequest) -> None:
    page = Outline(plain(PAPERS[paper](request.getfixturevalue(which))))
    assert page.wrong == []
    assert page.open == []
    assert page.levels[0] == 1
    assert page.levels.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(page.levels, page.levels[1:], strict=False))
    tags = [tag for tag, _ in page.tags]
    assert tags.count("main") == 1
    ids = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    named = {word for _, a in page.tags for word in (a.get("aria-labelledby") or "").split()}
    named |= {a["headers"] or "" for _, a in page.tags if "headers" in a}
    assert named <= set(ids)
    assert dict(page.tags)["html"]["lang"] == "en-GB"
    assert all("scope" in attrs for tag, attrs in page.tags if tag == "th")
    for tag, attrs in page.tags:
        if tag == "svg" and attrs.get("aria-hidden") != "true":
            assert attrs["role"] == "img"


BESIDE = {"piece.png", "thumbnail.png", "film.mp4", "captions.vtt", "chapters.vtt"}
"""What the handout may load: files that other commands write beside it."""


@pytest.mark.parametrize("paper", PAGES)
@pytest.mark.parametrize("which", ["episode", "hostile_episode"])
def test_page_asks_nothing_of_the_outside_and_runs_only_its_own_script(
    paper: str, which: str, request: pytest.FixtureRequest
) -> None:
    html = plain(PAPERS[paper](request.getfixturevalue(which)))
    page = Outline(html)
    tags = {tag for tag, _ in page.tags}
    assert not {"link", "iframe", "object", "embed", "base"} & tags
    if paper != "handout.html":
        assert not {"script", "img", "form", "video"} & tags
    for tag, attrs in page.tags:
        assert not [name for name in attrs if name.startswith("on") or name == "style"]
        assert tag in ("a", "use") or "href" not in attrs
        assert tag != "use" or attrs["href"].startswith("#")
        for key in ("src", "poster"):
            assert attrs.get(key, "piece.png") in BESIDE
        address = attrs.get("href")
        if address is not None:
            assert re.match(r"#|https?://|mailto:|film\.mp4(#t=[0-9.]+)?$", address)
    styles = "".join(re.findall(r"<style>(.*?)</style>", html, re.DOTALL))
    assert "url(" not in styles
    assert "@import" not in styles


@pytest.mark.parametrize("which", ["episode", "hostile_episode"])
def test_the_pages_policy_names_its_one_script(which: str, request: pytest.FixtureRequest) -> None:
    """W3C, Content Security Policy Level 3, section 8.3: base64 of the element's SHA-256."""
    html = plain(PAPERS["handout.html"](request.getfixturevalue(which)))
    [script] = re.findall(r"<script>(.*?)</script>", html, re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    [policy] = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]*)"', html)
    assert policy == (
        "default-src 'none'; style-src 'unsafe-inline'; img-src 'self'; media-src 'self'; "
        f"script-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    )


def test_the_switch_finds_every_figure_of_both_systems(episode: Episode) -> None:
    """No pair of readings is left that neither choice would part."""
    html = plain(PAPERS["handout.html"](episode))
    body = re.sub(r"<(svg|style|script|title)\b.*?</\1>", "", html, flags=re.DOTALL)
    body = body.partition("<body")[2]
    for one in episode.table.values():
        assert not one.other or escape(one.both) not in body, one.name
    assert body.count('class="in-first"') >= 3
    assert len(re.findall(r'class="bracket"> ?\(<', html)) == html.count('class="bracket">)<') > 9


@pytest.mark.parametrize("paper", PAPERS)
def test_hostile_text_is_shown_as_text(paper: str, hostile_episode: Episode) -> None:
    text = plain(seen(paper, hostile_episode))
    assert "{{ 7" in text
    assert "49" not in text
    assert 'alert("x")' in text
    if paper.endswith(".md"):
        assert not re.search(r"(?<!\\)<(?!https://)", text)
        # the newsletter has the piece's picture, which is ours
        text = text.replace("![The finished piece](piece.png)", "", 1)
        assert not re.search(r"(?<!\\)\]\(", text)
    if paper.endswith(".html"):
        assert '<script>alert("x")</script>' in text


def test_a_link_that_may_not_be_followed_is_still_readable(episode: Episode) -> None:
    html = PAPERS["handout.html"](
        replace(episode, links=(Link(label="odd", url="ftp://a.example/4"),))
    )
    assert "ftp://a.example/4" in plain(visible_text(html))
    assert 'href="ftp' not in html


def test_right_to_left_text_and_emoji_come_through(long_episode: Episode) -> None:
    for paper in PAPERS:
        assert "كرة خشبية معلقة 🪵🌲" in plain(seen(paper, long_episode))


def _block(text: str, heading: str) -> list[str]:
    """The lines of a description under a heading."""
    return plain(text).partition(f"\n{heading}\n")[2].partition("\n\n")[0].splitlines()


def test_the_description_says_of_what_part_each_figure_is(crowned: Episode) -> None:
    text = PAPERS["description.txt"](crowned)
    titles = {m.name.partition(".")[0]: m.text for m in crowned.table.values()
              if m.name.endswith(".title")}  # fmt: skip
    assert set(titles.values()) == {"Finial", "Cap"}
    checked = 0
    for line in text.splitlines():
        for span in spans(line)[1]:
            part = span.name.partition(".")[0]
            if part in titles:
                checked += 1
                assert titles[part].casefold() in plain(line).casefold(), line
    assert checked >= 10
    for heading in ("KEY MEASUREMENTS", "SAFETY"):
        lines = _block(text, heading)
        assert len(lines) > 10
        assert len(lines) == len(set(lines))
    labels = [line.partition(": ")[0] for line in _block(text, "KEY MEASUREMENTS")]
    assert len(labels) == len(set(labels))
    rpm = [line for line in plain(text).splitlines() if " rpm" in line]
    assert len(rpm) > 10
    assert all(re.search("Globe|Finial|Cap", line) for line in rpm)


def test_one_parts_speed_is_told_beside_another_parts(crowned: Episode) -> None:
    safety = "\n".join(_block(PAPERS["description.txt"](crowned), "SAFETY"))
    for title in ("Cap", "Finial"):
        limit = crowned.table[f"{title.lower()}.speed_rough"].text
        assert re.search(f"{title} – Roughing: .*{limit}", safety)


def test_materials_name_every_wood_blank_and_drill(crowned: Episode) -> None:
    t = crowned.table
    lines = _block(PAPERS["description.txt"](crowned), "MATERIALS AND TOOLS")
    assert "Wood: European sycamore, black walnut" in lines
    assert f"Drill – Hole for finial: {t['finial.hole'].both}" in lines
    # the cap closes the opening: nothing is drilled for it
    assert not any("Hole for cap" in line for line in lines)
    for part, title in (("stock", "Globe"), ("finial", "Finial"), ("cap", "Cap")):
        long = "stock.length" if part == "stock" else f"{part}.blank"
        [line] = [line for line in lines if line.startswith(f"{title} – ")]
        assert t[f"{part}.section"].both in line
        assert t[long].both in line
    assert sum(t["stock.section"].both in line for line in lines) == 1
    for page in PAGES:
        text = plain(visible_text(PAPERS[page](crowned)))
        assert "black walnut" in text
        assert "Hole for finial" in text


def test_a_step_of_the_handout_shows_its_drawings_and_leads_to_its_figures(
    crowned: Episode,
) -> None:
    """Every drawing once where it is explained, and again in the step that asks for it."""
    html = plain(PAPERS["handout.html"](crowned))
    measurements, steps = html.partition('id="steps"')[::2]
    ids = set(re.findall(r'\bid="([^"]+)"', measurements))
    _, *texts = re.split(r'<li class="step" id="step-\d+">', steps.partition("</ol>")[0])
    found: dict[str, tuple[list[str], list[str]]] = {}
    for step, text in zip(crowned.steps, texts, strict=True):
        drawn = re.findall(r'<use href="#([^"]+)"/>', text)
        about = re.findall(r'href="#about-([^"]+)"', text)
        found[step.id] = drawn, about
        assert set(drawn) <= ids
        assert {f"about-{key}" for key in about} <= ids
        # each figure that its card shows is one link away
        assert {one.name.partition(".")[0] for one in step.shows} <= set(about)
    drawn = [one for drawn, _ in found.values() for one in drawn]
    assert len(drawn) == len(set(drawn))
    assert found["mark-octagon"][0] == ["octagon-lines"]
    assert found["hollow"] == (["hollow-lines"], ["hollow"])
    assert "axis" in found["mount-axis"][1]
    assert found["assemble"][0] == ["assembly-lines"]


MATERIALS = {
    "handout.html": ('id="need"', 'id="safety"'),
    "cut-sheet.html": ('id="blank-head"', 'id="cuts-head"'),
    "description.txt": ("MATERIALS AND TOOLS", "\n\n"),
    "newsletter.txt": ("YOU NEED", "\n\n"),
    "newsletter.md": ("## You need", "\n##"),
}
"""Where each paper tells what to have ready: what the place begins with, and what comes next."""


@pytest.mark.parametrize("paper", MATERIALS)
def test_materials_name_every_cutter_once_and_what_is_used_up(
    paper: str, folder: Path, edit: Callable[[Path, str, str], Path]
) -> None:
    """A ring and the grooves take the 6 mm cutter, another ring a narrower one."""
    rings = (
        "rings:\n  - {place: 0 mm, width: 6 mm, depth: 2 mm}\n"
        "  - {place: 12 mm, width: 3 mm, depth: 0.8 mm}\n"
    )
    edit(folder / "lobed-globe.yaml", "\nsteps:\n", f"\n{rings}\nsteps:\n")
    episode = open_episode(folder / "lobed-globe.yaml")
    cutters = {
        one.text for name, one in episode.table.items()
        if name == "grooves.cutter" or re.fullmatch(r"rings\.cutter_\d", name)
    }  # fmt: skip
    assert len(cutters) == 2
    begins, ends = MATERIALS[paper]
    place = PAPERS[paper](episode).partition(begins)[2].partition(ends)[0]
    named = [span for span in spans(place)[1] if re.fullmatch(r"\w+\.cutter(_\d)?", span.name)]
    first = [span.text.partition(" (")[0].replace(NO_BREAK, " ") for span in named]
    assert sorted(one for one in first if one in cutters) == sorted(cutters)
    if paper != "cut-sheet.html":
        told = {span.name for span in spans(place)[1]}
        assert {"sanding.papers", "finish.product"} <= told


def test_a_plain_ball_needs_no_names_before_its_figures(episode: Episode) -> None:
    lines = _block(PAPERS["description.txt"](episode), "KEY MEASUREMENTS")
    assert lines
    assert not any(" – " in line for line in lines)


def test_the_handout_says_once_what_differs_in_its_figure_alone(crowned: Episode) -> None:
    """Five rims owned are one row of five figures, each still traced."""
    html = PAPERS["handout.html"](crowned)
    label = "Rim of a cup chuck owned"
    rims = [m for m in crowned.table.values() if m.label == label]
    assert len(rims) == 5
    text = visible_text(html)
    assert plain(text).count(label) == 1
    assert {m.name for m in rims} <= {span.name for span in spans(text)[1]}


def test_each_source_stands_once_with_its_subjects(crowned: Episode) -> None:
    text = plain(visible_text(PAPERS["handout.html"](crowned)))
    lines = text.partition("Where this comes from")[2].partition("Cautions")[0].splitlines()
    due = {m.source for m in crowned.table.values() if m.source}
    for source in due:
        assert lines.count(source) == 1
    assert max(len(line) for line in lines if line not in due) < 260
    assert any("Finial" in line and "The ball" in line for line in lines)


def test_the_mountings_caption_says_where_the_other_grooves_are(crowned: Episode) -> None:
    captions = [
        one.caption for one in drawings_of(crowned) if "mounting for the first" in one.caption
    ]
    assert len(captions) == 1
    assert "a line for each groove" in captions[0]


def test_a_numbered_list_is_numbered_and_a_wrong_number_is_found(episode: Episode) -> None:
    step = replace(episode.steps[0], do="Then:\n\n1. rough it\n2. sand it")
    listed = replace(episode, steps=(step,))
    for paper in ("newsletter.md", "newsletter.txt"):
        made = PAPERS[paper](listed)
        assert "1. rough it\n2. sand it\n" in plain(made)
        assert compare(listed, paper, made, plain(made)).findings == ()
        (found,) = compare(listed, paper, made, plain(made).replace("2. sand", "3. sand")).findings
        assert (found.code, found.said) == ("wrong-number", "3.")
    (how,) = (one for one in structured_data(listed)["@graph"] if one["@type"] == "HowTo")
    assert how["step"][0]["text"].startswith("Then: 1. rough it 2. sand it")
