"""Every word of every paper is the turner's own or comes from the catalogue."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from studio.design.document import Node
from studio.design.reading import load
from studio.episode.assemble import open_episode
from studio.film.captions import caption_files
from studio.language import MISSED, Language, speaking
from studio.measure.trace import plain
from studio.paper.markup import visible_text
from studio.paper.papers import papers_of
from studio.paper.pdfs import marked_lines, template_content
from studio.site.entries import Entry, with_way_up
from studio.site.pages import _list_pages

CITED = {"USDA", "Wood", "Handbook", "FPL", "GTR", "Eq", "AWG", "CAMI", "FEPA", "ISO"}
"""Names of publications and standards, which are not translated."""

PAPERS = ["handout.html", "cut-sheet.html", "demonstration.html", "batch.html", "reading.html",
          "script.md", "newsletter.txt", "newsletter.md"]  # fmt: skip


def words_in(node: Node) -> set[str]:
    """Every word that is typed in a design, its parts' and values' names among them."""
    if isinstance(node.value, str):
        return set(re.findall(r"[A-Za-z]+", node.value))
    children = node.value.items() if isinstance(node.value, dict) else enumerate(node.value or ())
    out: set[str] = set()
    for key, child in children:
        out |= words_in(child)
        if not isinstance(child.value, str):
            continue
        out |= set(re.findall(r"[A-Za-z]+", str(key)))
    return out


@pytest.mark.parametrize("name", ["crowned-globe", "globe"])
def test_papers_hold_no_word_of_another_language(
    name: str, in_german: Callable[[str], Path], veil: Language
) -> None:
    path = in_german(name)
    episode = open_episode(path, pieces=24)
    own = words_in(load(path).tree) | CITED
    parts = set(load(path).design.parts)
    own |= parts | {one.capitalize() for one in parts} | {"Glue", "Dry", "D", "P", "R", "T"}
    # a rule and the reason for a size name the measurement
    names = {word for dotted in episode.table for word in re.findall(r"[A-Za-z]+", dotted)}
    renders = papers_of(episode)
    for paper in PAPERS:
        text = plain(renders[paper](episode))
        text = visible_text(text) if paper.endswith(".html") else text
        text = re.sub(r"https?://\S+|\bpiece\.png\b|\b\w+\.\w+\b(?= )", " ", text)
        text = re.sub(r"\b(?:sin|cos|tan|asin|set_up|each|board|boards|batch|spares)\b", " ", text)
        strange = set(re.findall(r"[A-Za-z]{2,}", text)) - own
        strange -= names if paper in ("cut-sheet.html", "handout.html", "batch.html") else set()
        assert strange == set(), paper
    assert set() == MISSED


def test_captions_and_chapters_hold_the_turners_words_alone(
    in_german: Callable[[str], Path], veil: Language
) -> None:
    path = in_german("globe")
    own = words_in(load(path).tree) | {"WEBVTT", "FFMETADATA", "CHAPTER", "TIMEBASE", "START",
                                       "END", "title"}  # fmt: skip
    for name, data in caption_files(open_episode(path)).items():
        strange = set(re.findall(r"[A-Za-z]{2,}", data.decode())) - own
        assert strange == set(), name


def test_cards_hold_no_word_of_another_language(
    in_german: Callable[[str], Path], veil: Language
) -> None:
    path = in_german("globe")
    own = words_in(load(path).tree)
    for card in open_episode(path).cards:
        inset = card.inset.caption if card.inset is not None else ""
        shown = [card.heading, inset]
        shown += [
            text for row in card.rows for text in (row.label, row.value, row.other, row.where)
        ]
        strange = set(re.findall(r"[A-Za-z]{2,}", plain(" ".join(shown)))) - own - {"AWG"}
        assert strange == set(), card.file_name


def test_templates_hold_no_word_of_another_language(
    in_german: Callable[[str], Path], veil: Language
) -> None:
    path = in_german("crowned-globe")
    with path.open("a", encoding="utf-8") as file:
        file.write("rings: [{place: 2 mm, width: 2 mm, depth: 0.38 mm, least_land: 0 mm}]\n")
    episode = open_episode(path)
    own = words_in(load(path).tree) | {"AWG"}
    own |= {name.capitalize() for name in load(path).design.parts}
    for paper in ("A4", "Letter"):
        content = template_content(episode, paper)
        assert len(content["items"]) >= 8
        strange = set(re.findall(r"[A-Za-z]{2,}", plain("\n".join(marked_lines(content)))))
        assert strange - own == set()
    assert set() == MISSED


def test_the_sites_lists_hold_no_word_of_another_language(veil: Language) -> None:
    one = Entry(
        name="A", title="A", summary="A", workshop="A", address="", licence="", demo_note="",
        woods=("A",), techniques=("A",), size="", words="", first="2026-03-02", last="2026-03-09",
        piece="", files={}, language="de",
    )  # fmt: skip
    with speaking(veil):
        pages = _list_pages([one], {}, frozenset(), "feed.xml", "")
        way = with_way_up("<body>", "A")
    for page in (*pages.values(), way.encode()):
        text = re.sub(r"<script>.*?</script>", "", page.decode(), flags=re.DOTALL)
        assert set(re.findall(r"[A-Za-z]{2,}", visible_text(text))) <= set()
    assert set() == MISSED


def test_english_reads_no_catalogue(folder: Path) -> None:
    """Byte for byte what it was: each message is printed as it stands in the source."""
    code = (
        "import sys; from pathlib import Path; "
        "from studio.episode.assemble import open_episode; "
        "from studio.paper.papers import paper_files; "
        f"files = paper_files(open_episode(Path({str(folder / 'globe.yaml')!r}))); "
        "assert b'lang=\"en-GB\"' in files['handout.html']; "
        "sys.exit('babel' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == 0
