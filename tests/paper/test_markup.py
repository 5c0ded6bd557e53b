"""Markdown from a stranger, and what a reader sees of a page."""

import re
from html import unescape
from html.parser import HTMLParser

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.measure.trace import END, SEP, START, mark, plain, spans
from studio.paper.markup import (
    printable,
    safe_url,
    to_html,
    to_markdown,
    to_text,
    visible_text,
)

ALLOWED = {"p", "em", "strong", "code", "pre", "ul", "ol", "li", "blockquote", "a", "br", "hr"}


class Elements(HTMLParser):
    """Elements and attributes that a browser would make; not the project's own reader."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs


def assert_harmless(html: str) -> None:
    made = Elements(plain(html))
    assert set(made.tags) <= ALLOWED | {"span"}
    for name, value in made.attributes:
        assert name in {"href", "rel", "dir", "class"}
        if name == "href":
            assert (value or "").split(":")[0].lower() in {"http", "https", "mailto"}


@pytest.mark.parametrize(
    "hostile",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "text <svg onload=alert(1)> text",
        "<div>\n\n<script>alert(1)</script>\n\n</div>",
        "[a](javascript:alert(1))",
        "[a](JaVaScRiPt:alert(1))",
        "[a](java\tscript:alert(1))",
        "[a](&#106;avascript:alert(1))",
        "[a]( javascript:alert(1))",
        "[a](data:text/html,<script>alert(1)</script>)",
        "[a](vbscript:x)",
        "[a](//evil.example)",
        "[a]: javascript:alert(1)\n\n[a][a]",
        '[a](https://x.example "t\\" onmouseover=\\"alert(1)")',
        "<javascript:alert(1)>",
        "![p](https://evil.example/p.png)",
        "![p][q]\n\n[q]: https://evil.example/p.png",
        '[a](https://x.example/"onclick=alert(1)//)',
        "</p></section></body><h1>mine</h1>",
        "# heading\n\nSetext\n======",
        "<!-- --><b>x</b><!--",
        "<![CDATA[<b>x</b>]]>",
        "<?php x ?>",
        "&lt;script&gt;alert(1)&lt;/script&gt;",
        "`<script>`",
        "    <script>\n",
        "\U000f0000 \U000f0001 \x02klzzwxh:0000\x03",
    ],
)
def test_hostile_markdown_is_harmless(hostile: str) -> None:
    assert_harmless(to_html(hostile))


@given(
    st.text(alphabet=st.sampled_from("<>/[]()!`*_&;#:\"'=\n abjsx\x02\x03\U000f0000"), max_size=60)
)
def test_any_markdown_is_harmless(text: str) -> None:
    assert_harmless(to_html(text))


def test_raw_html_and_template_code_are_shown_as_text() -> None:
    shown = visible_text(to_html("<b>bold</b> {{ 7*7 }} {% if x %}"))
    assert shown == "<b>bold</b> {{ 7*7 }} {% if x %}"


def test_ordinary_markdown_is_what_the_library_makes_of_it() -> None:
    """Against the ``markdown`` library, from which only the direction attribute differs."""
    source = "one *two* **three** `four`\n\n- five\n- six\n\n> seven"
    ours = to_html(source).replace(' dir="auto"', "")
    assert ours == markdown.markdown(source, output_format="html")


def test_marks_survive_underscores_and_emphasis() -> None:
    text = f"**{mark('sphere.end_limit_first', '60 mm')}** and _{mark('a._b_', '2*3*4')}_"
    html = to_html(text)
    assert [(span.name, span.text) for span in spans(html)[1]] == [
        ("sphere.end_limit_first", "60 mm"),
        ("a._b_", "2*3*4"),
    ]
    assert "<strong>" in html
    assert "<em>" in html


def test_a_mark_in_an_address_leaves_no_mark_in_the_attribute() -> None:
    html = to_html(f"[plan](https://x.example/{mark('a.b', '60')})")
    assert 'href="https://x.example/60"' in html


def test_an_origin_marks_every_run_of_text() -> None:
    html = to_html("since 1950, *and 1960*\n\n- 1970", "credit")
    assert visible_text(html).count(START) == 3
    assert not any(char.isdigit() for char in _unmarked(visible_text(html)))


def _unmarked(text: str) -> str:
    out, inside = [], False
    for char in text:
        inside = (inside or char == START) and char != END
        if not inside and char not in (START, SEP, END):
            out.append(char)
    return "".join(out)


def test_a_link_becomes_words_and_address_in_plain_text() -> None:
    text = plain(to_text("see [the plan](https://x.example/2) or <https://y.example>"))
    assert text == "see the plan (https://x.example/2) or https://y.example"


def test_a_list_becomes_lines() -> None:
    assert to_text("before\n\n- one\n- two") == "before\n– one\n– two"


@pytest.mark.parametrize(
    "url", ["https://a.example/b?c=1#d", "http://a.example", "mailto:me@a.example"]
)
def test_addresses_that_may_be_followed(url: str) -> None:
    assert safe_url(url) == url


@pytest.mark.parametrize(
    "url",
    ["javascript:x", "JAVASCRIPT:x", "java\nscript:x", "data:x", "//a.example", "a/b", "http:",
     "file:///etc", "http://[", " \x01javascript:x", ""],
)  # fmt: skip
def test_addresses_that_may_not(url: str) -> None:
    assert safe_url(url) == ""


def test_a_figure_cannot_be_turned_back_to_front() -> None:
    """Unicode Standard Annex 9: U+202D and U+202E override the direction of all that follows."""
    assert printable("cut \u202e06\u202c mm") == "cut 06\u202c mm"


def test_control_characters_and_lone_surrogates_are_dropped() -> None:
    assert printable("a\x00b\x1b[1m\r\nc\td\ud800é🪵") == "ab[1m\nc\tdé🪵"


@given(st.text(alphabet=st.sampled_from("<>[]()!`*_&#-+=~|\\.) 1a\n"), max_size=40))
def test_escaped_text_reads_as_itself_in_markdown(text: str) -> None:
    """Against the ``markdown`` library: what it shows is what was written."""
    shown = visible_text(to_html(to_markdown(text)))
    unescaped = shown.replace("\\", "")
    assert unescaped.split() == text.replace("\\", "").split()


def test_visible_text_drops_what_no_reader_sees() -> None:
    page = (
        "<html><head><title>T</title><style>p{width:1px}</style><script>9</script></head>"
        "<body data-x='3'><svg viewBox='0 0 3 3'><title>t</title><desc>d</desc>"
        "<text x='4'>five &amp; six</text></svg><table><tr><th>a</th><td>b</td></tr></table>"
        f"<p>{mark('m.n', '7&nbsp;mm')}</p><p>a&nbsp;b</p></body></html>"
    )
    assert visible_text(page).split("\n") == [
        "T", "t", "d", "five & six", "a", "b", mark("m.n", "7 mm"), "a\u00a0b",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        (
            "see https://club.example/a_b?x=1_2&y=~3_4.",
            "see <https://club.example/a_b?x=1_2&y=~3_4>.",
        ),
        (
            "see [the *plan*](https://club.example/a_b_c)",
            "see the plan (<https://club.example/a_b_c>)",
        ),
        ("<https://club.example/x_1_> and _so_", "<https://club.example/x_1_> and so"),
        (
            "write to mailto:a_b@club.example, or a_b",
            "write to <mailto:a_b@club.example>, or a\\_b",
        ),
    ],
)
def test_an_address_stands_in_markdown_as_it_is(typed: str, written: str) -> None:
    """Read back by the reference reader, each leads where it was typed to lead."""
    made = plain(to_markdown(to_text(typed)))
    assert made == written
    (link,) = re.findall(r"<(.*?)>", made)
    assert f'href="{link}"' in unescape(markdown.markdown(made))


def test_a_numbered_list_keeps_its_numbers_in_every_text() -> None:
    typed = "Then:\n\n1. rough it\n2. turn it:\n\n    - by eye\n\n    - by rule\n\n3. sand it"
    text = to_text(typed)
    assert plain(text).split("\n") == [
        "Then:", "1. rough it", "2. turn it:", "– by eye", "– by rule", "3. sand it",
    ]  # fmt: skip
    assert [one.name for one in spans(text)[1]] == ["item:1", "item:2", "item:3"]
    # read back by the reference reader it is that list again
    again = markdown.markdown(plain(to_markdown(to_text("Then:\n\n1. rough it\n2. sand it"))))
    assert "1. rough it\n2. sand it" in again
