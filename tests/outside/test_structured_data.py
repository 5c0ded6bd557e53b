"""The handout's structured data, read back by PyLD, an implementation of JSON-LD 1.1 by Digital
Bazaar that its authors test against the W3C's own suite."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest
from pyld import jsonld

from studio.episode.assemble import open_episode
from studio.episode.records import Episode
from studio.measure.trace import plain
from studio.paper import PAPERS, handout, views
from studio.resources import shipped

PAGE = "https://fernhollow-bench.example/ornaments/lobed-globe/index.html"
TERMS = "https://schema.org/"


class Data(HTMLParser):
    """The text of the page's data block."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.text = ""
        self._here = False
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._here = tag == "script" and ("type", "application/ld+json") in attrs

    def handle_data(self, data: str) -> None:
        if self._here:
            self.text += data


def loader(address: str, _options: object) -> dict[str, Any]:
    """Stands in for schema.org: each term is its own address there, and addresses are addresses.

    That is what https://schema.org/docs/jsonldcontext.json says of the terms used here.
    """
    assert address in ("https://schema.org", TERMS)
    as_address = {name: {"@type": "@id"} for name in ("image", "contentUrl", "thumbnailUrl", "url")}
    context = {"@context": {"@vocab": TERMS, **as_address}}
    return {"document": context, "documentUrl": address, "contextUrl": None,
            "contentType": "application/ld+json"}  # fmt: skip


@pytest.fixture(scope="module")
def lobed() -> Episode:
    return open_episode(shipped("designs") / "lobed-globe.yaml")


@pytest.fixture(scope="module")
def nodes(lobed: Episode) -> dict[str, dict[str, Any]]:
    """Every node by its name in the graph, as the reader understands them."""
    text = Data(plain(PAPERS["handout.html"](replace(lobed, filmed=True)))).text
    assert "<" not in text
    options = {"documentLoader": loader, "base": PAGE}
    flat = jsonld.flatten(json.loads(text), None, options)
    return {one["@id"]: one for one in flat}


def of(node: dict[str, Any], term: str) -> list[Any]:
    return [one.get("@value", one.get("@id")) for one in node.get(TERMS + term, [])]


def test_the_how_to_has_steps_tools_and_supplies(
    nodes: dict[str, dict[str, Any]], lobed: Episode
) -> None:
    how = nodes[f"{PAGE}#how-to"]
    assert how["@type"] == [f"{TERMS}HowTo"]
    assert of(how, "name") == ["A globe with 8 lobes"]
    assert of(how, "image") == [PAGE.replace("index.html", "piece.png")]
    steps = sorted((nodes[name] for name in of(how, "step")), key=lambda one: of(one, "position"))
    assert [of(one, "name") for one in steps] == [[plain(one.title)] for one in lobed.steps]
    for step, mine in zip(steps, lobed.steps, strict=True):
        assert step["@type"] == [f"{TERMS}HowToStep"]
        assert of(step, "url") == [f"{PAGE}#step-{mine.number}"]
        for caution in mine.cautions:
            assert plain(caution.short) in of(step, "text")[0]
    tools = [of(nodes[name], "name")[0] for name in of(how, "tool")]
    assert set(map(plain, views.tools(lobed.steps))) <= set(tools)
    supplies = [of(nodes[name], "name")[0] for name in of(how, "supply")]
    assert "European sycamore" in supplies
    assert f"Blank, side of the square: {lobed.table['stock.section'].both}" in supplies
    assert of(how, "video") == [f"{PAGE}#film"]
    (licence,) = of(how, "license")
    assert nodes[licence]["@type"] == [f"{TERMS}CreativeWork"]
    assert of(nodes[licence], "name") == [plain(lobed.licence)]


def test_the_film_has_a_clip_for_each_chapter(
    nodes: dict[str, dict[str, Any]], lobed: Episode
) -> None:
    film = nodes[f"{PAGE}#film"]
    assert film["@type"] == [f"{TERMS}VideoObject"]
    assert of(film, "duration") == ["PT2M15S"]  # the design's length: 2:15
    assert of(film, "thumbnailUrl") == [PAGE.replace("index.html", "thumbnail.png")]
    address = PAGE.replace("index.html", "film.mp4")
    assert of(film, "contentUrl") == [address]
    clips = sorted(
        (nodes[name] for name in of(film, "hasPart")), key=lambda one: of(one, "startOffset")
    )
    assert len(clips) == len(lobed.chapters) > 2
    for clip, chapter in zip(clips, lobed.chapters, strict=True):
        assert clip["@type"] == [f"{TERMS}Clip"]
        assert of(clip, "name") == [plain(chapter.title)]
        start = chapter.start_ms / 1000
        assert (of(clip, "startOffset"), of(clip, "endOffset")) == (
            [start],
            [chapter.end_ms / 1000],
        )
        assert of(clip, "url") == [f"{address}#t={start}"]


def test_the_pages_description_is_the_summary(lobed: Episode) -> None:
    page = plain(PAPERS["handout.html"](lobed))
    (told,) = re.findall(r'<meta name="description" content="([^"]*)">', page)
    tree = json.loads(Data(page).text)
    assert told == tree["@graph"][0]["description"]
    assert "60 mm" in told


def test_a_stranger_cannot_add_to_it(lobed: Episode) -> None:
    title = '"},"@type":"Person","x":{"y":"</script>'
    assert lobed.box is not None
    stranger = replace(lobed, title=title, box=lobed.box.titled(title), filmed=True)
    page = plain(PAPERS["handout.html"](stranger))
    tree = json.loads(Data(page).text)
    assert [one["@type"] for one in tree["@graph"]] == ["HowTo", "VideoObject"]
    assert tree["@graph"][0]["name"] == title


def test_without_the_film_nothing_tells_of_one(lobed: Episode) -> None:
    """schema.org's Clip is part of a VideoObject: https://schema.org/Clip (from memory)."""
    tree = json.loads(Data(plain(PAPERS["handout.html"](lobed))).text)
    assert [one["@type"] for one in tree["@graph"]] == ["HowTo"]
    assert "video" not in tree["@graph"][0]
    assert "Clip" not in json.dumps(tree)


def test_with_a_whole_address_every_address_is_whole(lobed: Episode) -> None:
    page = plain(handout.render(replace(lobed, filmed=True), PAGE))
    flat = jsonld.flatten(json.loads(Data(page).text), None, {"documentLoader": loader})
    named = {one["@id"]: one for one in flat}
    film = named[f"{PAGE}#film"]
    assert of(film, "contentUrl") == [PAGE.replace("index.html", "film.mp4")]
    assert of(named[f"{PAGE}#how-to"], "video") == [f"{PAGE}#film"]
