"""Numbers stay with their units at the end of a line, and texts that are copied have plain spaces.

That a number and its unit are not parted: the SI Brochure (BIPM, 9th edition), 5.4.3, asks for a
space between them, and handbooks of typesetting for one that does not break (from memory).
"""

from __future__ import annotations

import json
import re

import pytest

from studio.episode.records import Episode
from studio.language import speaking
from studio.measure.rounding import UNITS
from studio.measure.trace import mark, plain
from studio.paper import PAPERS
from studio.paper.unbroken import KEPT, NO_BREAK, parted, pattern, unbroken, unbroken_page

PAGES = ("handout.html", "cut-sheet.html", "demonstration.html", "reading.html")


@pytest.mark.parametrize(
    ("text", "joined"),
    [
        ("60 mm (2 3/8 in)", "60~mm (2~3/8~in)"),
        ("116,300 cm² of it", "116,300~cm² of it"),
        ("1,260 rpm, 24.9 fl oz", "1,260~rpm, 24.9~fl oz"),
        ("a ball of 60 made", "a ball of 60 made"),
        ("step 3 indeed", "step 3 indeed"),
        ("2 ½ in", "2~½~in"),
        ("22.5° and 50%", "22.5° and 50%"),
        ("CAMI 150, CAMI 220 or P 240", "CAMI~150, CAMI~220 or P~240"),
        ("a CAMI paper, step 5", "a CAMI paper, step 5"),
        ("from 5 m to 10 minutes", "from 5~m to 10 minutes"),
    ],
)
def test_where_a_line_may_not_end(text: str, joined: str) -> None:
    assert unbroken(text).replace(NO_BREAK, "~") == joined
    assert parted(unbroken(text)) == text


def test_a_mark_between_number_and_unit_parts_nothing() -> None:
    assert plain(unbroken(mark("sphere.diameter", "60") + " mm")) == f"60{NO_BREAK}mm"


def test_units_of_another_language() -> None:
    assert NO_BREAK not in unbroken("8 Umdr./min")
    with speaking("de"):
        assert NO_BREAK in unbroken("60 mm")
        assert NO_BREAK in unbroken("1.260 U/min") or NO_BREAK in unbroken("1.260 min⁻¹")


def test_only_what_is_read_is_changed() -> None:
    page = '<p title="5 mm">5 mm</p><textarea>5 mm</textarea><script>"5 mm"</script>'
    assert unbroken_page(page) == page.replace(">5 mm</p>", f">5{NO_BREAK}mm</p>")


@pytest.mark.parametrize("paper", PAGES)
def test_no_page_parts_a_number_from_its_unit(paper: str, episode: Episode) -> None:
    """Read anew, with a list of units that is this test's own."""
    page = plain(PAPERS[paper](episode))
    read = "\n".join(KEPT.sub("\n", page).split("\n"))
    assert NO_BREAK in read or paper == "reading.html"
    assert re.findall(r"[\d½¼¾] (?:\d+/\d+|mm|in|rpm|g|oz|cm[²³]|in[²³]|ml)(?![\w])", read) == []


def test_what_is_copied_has_plain_spaces(episode: Episode) -> None:
    page = plain(PAPERS["handout.html"](episode))
    (data,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', page, re.DOTALL)
    assert NO_BREAK not in json.dumps(json.loads(data), ensure_ascii=False)
    for name in ("script.md", "description.txt", "newsletter.txt"):
        assert NO_BREAK not in plain(PAPERS[name](episode))


def test_the_browser_is_told_the_same_pattern() -> None:
    """Every unit, as the script that writes the answer sees it."""
    for unit in UNITS:
        assert re.search(pattern(), f"7 {unit}."), unit
    assert not re.search(pattern(), "7 wood")
