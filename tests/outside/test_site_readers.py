"""The site's files by other people's readers and published schemas.

Atom: feedparser, and the RELAX NG schema of RFC 4287, appendix B, by libxml2. Site map: the XML
Schema that sitemaps.org publishes. Pages: html5lib, strict, which knows the errors that the HTML
Standard names.
"""

from __future__ import annotations

from pathlib import Path

import feedparser
import html5lib
import pytest
import rnc2rng
from lxml import etree

from tests.site.conftest import HOSTILE, Series, hostile, series  # noqa: F401

HERE = Path(__file__).parent
ATOM = {"a": "http://www.w3.org/2005/Atom"}
MAP = {"s": "http://www.sitemaps.org/schemas/sitemap/0.9"}
ADDRESS = "https://fernhollow-bench.example/ornaments/"


def atom_schema() -> etree.RelaxNG:
    text = (HERE / "atom-rfc4287.rnc").read_text(encoding="utf-8")
    # no XML file may declare a prefix for no namespace; nothing in the XML form uses it
    made = rnc2rng.dumps(rnc2rng.loads(text)).replace('xmlns:local=""', "")
    return etree.RelaxNG(etree.fromstring(made.encode("utf-8")))


@pytest.fixture
def written(hostile: Series) -> Series:  # noqa: F811
    hostile.write(cached=False)
    return hostile


def test_feed_by_its_schema(written: Series) -> None:
    feed = etree.parse(written.site / "feed.xml")
    schema = atom_schema()
    assert schema.validate(feed), schema.error_log
    # the schema's three Schematron rules, in words
    assert feed.xpath("/a:feed/a:author/a:name/text()", namespaces=ATOM) == ["Fernhollow Bench"]
    entries = feed.xpath("/a:feed/a:entry", namespaces=ATOM)
    assert len(entries) == 3 + len(HOSTILE)
    for entry in entries:
        assert entry.xpath("a:link[@rel='alternate']/@href", namespaces=ATOM)
    # the schema does find faults
    for wrong in ("a:entry/a:id", "a:updated"):
        spoilt = etree.parse(written.site / "feed.xml")
        one = spoilt.find(f"/{wrong}".replace("/a:", "a:", 1), ATOM)
        one.getparent().remove(one)
        assert not schema.validate(spoilt), wrong


def test_feed_by_a_reader(written: Series) -> None:
    read = feedparser.parse((written.site / "feed.xml").read_bytes(), sanitize_html=False)
    assert not read.bozo
    assert read.version == "atom10"
    assert read.feed.title == "Fernhollow Bench"
    assert read.feed.id == ADDRESS + "feed.xml"
    titles = {one.link: one.title for one in read.entries}
    for name, title in HOSTILE.items():
        told = titles[f"{ADDRESS}{name}/index.html"]
        assert told == title.replace("{%", "(%").replace("%}", "%)")
    times = [one.updated_parsed for one in read.entries]
    assert times == sorted(times, reverse=True)
    assert all(one.id.startswith(ADDRESS) for one in read.entries)
    assert len({one.id for one in read.entries}) == len(read.entries)


def test_site_map_by_its_schema(written: Series) -> None:
    found = etree.parse(written.site / "sitemap.xml")
    schema = etree.XMLSchema(etree.parse(HERE / "sitemap-0.9.xsd"))
    assert schema.validate(found), schema.error_log
    told = set(found.xpath("//s:loc/text()", namespaces=MAP))
    lie = {ADDRESS + str(path.relative_to(written.site)) for path in written.site.rglob("*.html")}
    assert told == lie
    found.find("s:url/s:loc", MAP).text = "a b"
    assert not schema.validate(found)


def test_pages_by_a_strict_reader(written: Series) -> None:
    strict = html5lib.HTMLParser(strict=True)
    for page in sorted(written.site.rglob("*.html")):
        strict.parse(page.read_bytes(), transport_encoding="utf-8")
