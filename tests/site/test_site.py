"""The site of published designs: what is on it, what is written again, what may be deleted."""

from __future__ import annotations

import re
import shutil
import sqlite3
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from studio.episode.assemble import open_episode
from studio.episode.filmed import FILM
from studio.episode.published import as_text, read_record, record_file
from studio.episode.records import Change, Correction
from studio.errors import BadInput
from studio.measure.trace import plain
from studio.paper import handout
from studio.picture.files import PICTURE
from studio.site import whole
from studio.site.entries import anchor
from studio.site.known import Known
from studio.site.pages import LISTS
from tests.site.conftest import HOSTILE, Series, publish

ADDRESS = "https://fernhollow-bench.example/ornaments/"
"""Of the shipped workshop's site."""


class Links(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.tags: list[str] = []
        self.handlers: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for key, value in attrs:
            if key in ("href", "src"):
                self.links.append(value or "")
            if key == "id":
                self.ids.append(value or "")
            if key.startswith("on"):
                self.handlers.append(key)


def pages(site: Path) -> list[Path]:
    return sorted(site.rglob("*.html"))


def test_index_has_the_newest_first_and_pictures_where_there_are_some(series: Series) -> None:
    done = series.write()
    index = series.text("index.html")
    places = [index.index(f'href="{name}/index.html"') for name in
              ("twelve-lobe-drop", "lobed-globe", "globe")]  # fmt: skip
    assert places == sorted(places)
    assert index.count("<img ") == 1
    assert "60 mm (2 23/64 in)" in index
    assert [note for note in done.notes if "lobed-globe.yaml: no picture" in note]


def test_a_designs_page_is_the_handout_with_a_way_up(series: Series) -> None:
    series.write()
    page = series.text("globe/index.html")
    episode = open_episode(series.designs / "globe.yaml")
    built = plain(handout.render(episode, f"{ADDRESS}globe/index.html"))
    begin, end = page.index('<nav aria-label="Site">'), page.index("</nav>\n") + len("</nav>\n")
    assert page[:begin] + page[end:] == built
    for name in ("captions.vtt", "chapters.vtt", "piece.png", "small.jpg"):
        assert (series.site / "globe" / name).is_file()


def test_a_page_shows_its_picture_only_while_there_is_one_of_the_piece(series: Series) -> None:
    series.write()
    assert "<img " in series.text("globe/index.html")
    # none was ever made, and no page shows one
    for name in ("lobed-globe", "twelve-lobe-drop"):
        assert PICTURE not in series.text(f"{name}/index.html")
    assert '"image"' not in series.text("lobed-globe/index.html")
    # a picture of another piece lies there
    place = series.build / "lobed-globe"
    place.mkdir(exist_ok=True)
    shutil.copy(series.build / "globe" / PICTURE, place / PICTURE)
    series.write()
    assert PICTURE not in series.text("lobed-globe/index.html")
    # its own is gone
    kept = (series.build / "globe" / PICTURE).read_bytes()
    (series.build / "globe" / PICTURE).unlink()
    assert "globe/index.html" in series.write().done.written
    assert PICTURE not in series.text("globe/index.html")
    (series.build / "globe" / PICTURE).write_bytes(kept)
    series.write()
    assert "<img " in series.text("globe/index.html")


def test_every_link_leads_somewhere_and_nothing_is_asked_of_others(hostile: Series) -> None:
    hostile.write()
    found = 0
    for page in pages(hostile.site):
        read = Links(page.read_text(encoding="utf-8"))
        assert len(read.ids) == len(set(read.ids)), page
        for link in read.links:
            parts = urlsplit(link)
            if link == f"{ADDRESS}{page.relative_to(hostile.site).as_posix()}":
                continue  # says where the page itself lies
            if parts.scheme in ("http", "https", "mailto"):
                assert page.parent != hostile.site, f"{page} leads out: {link}"
                continue
            target = page.parent / unquote(parts.path) if parts.path else page
            if target.name == FILM and not target.is_file():
                continue  # publish names a film that is not there
            assert target.is_file(), f"{page} links to {link}"
            if parts.fragment:
                assert parts.fragment in Links(target.read_text(encoding="utf-8")).ids, link
            found += 1
    assert found > 60


def test_the_family_tree_hangs_on_what_is_published(series: Series) -> None:
    (series.designs / "lobed-globe.published.yaml").unlink()
    series.write()
    tree = series.text("family.html")
    globe, drop = tree.index(anchor("globe")), tree.index(anchor("twelve-lobe-drop"))
    assert "lobed-globe/" not in tree
    assert globe < drop
    # the drop stands in a list inside the globe's
    assert tree[globe:drop].count("<ul>") == tree[globe:drop].count("</ul>") + 1


def test_woods_and_techniques_list_their_designs(series: Series) -> None:
    series.write()
    woods = series.text("woods.html")
    cherry = woods[
        woods.index("<h2", woods.index(f'<section aria-labelledby="{anchor("black cherry")}"')) :
    ]
    assert "twelve-lobe-drop/index.html" in cherry.split("</section>")[0]
    techniques = series.text("techniques.html")
    grooves = techniques[techniques.index(f'<section aria-labelledby="{anchor("Grooves")}"') :]
    assert "globe/index.html" in grooves.split("</section>")[0]
    assert 'href="globe/index.html"' not in grooves.split("</section>")[0]


def test_nothing_is_written_again_when_nothing_has_changed(series: Series, state) -> None:
    series.write()
    before = state(series.site)
    assert series.write().done.written == ()
    assert series.write(cached=False).done.written == ()
    assert state(series.site) == before


def test_after_one_change_only_its_page_and_the_lists_are_written(series, edit, state) -> None:
    series.write()
    before = state(series.site)
    edit(series.designs / "twelve-lobe-drop.yaml", "A small drop with", "A little drop with")
    written = set(series.write().done.written)
    assert "twelve-lobe-drop/index.html" in written
    assert not {name for name in written if name.startswith(("globe/", "lobed-globe/"))}
    after = state(series.site)
    assert {name for name in before if after[name] != before[name]} <= {
        *written, ".made-by-studio.json",
    }  # fmt: skip
    assert "A little drop with 12 lobes" in series.text("index.html")


@pytest.mark.parametrize("what", ["design", "base", "workshop", "times", "record"])
def test_what_a_page_is_made_from_is_in_its_key(series, edit, what: str) -> None:
    design = series.designs / "twelve-lobe-drop.yaml"

    def key() -> str:
        return Known(None, 0).key(design)

    before = key()
    changed = {
        "design": design,
        "base": series.designs / "globe.yaml",
        "workshop": series.designs / "workshop.yaml",
        "times": series.designs / "twelve-lobe-drop.times.yaml",
        "record": series.designs / "twelve-lobe-drop.published.yaml",
    }[what]
    with changed.open("a", encoding="utf-8") as file:
        file.write("\n# another state\n")
    assert key() != before


def test_a_changed_base_changes_the_pages_of_its_variations(series, edit) -> None:
    series.write()
    edit(series.designs / "globe.yaml", "title: Sand", "title: Sand it all")
    written = series.write().done.written
    assert {"globe/index.html", "lobed-globe/index.html"} <= set(written)
    assert "Sand it all" in series.text("lobed-globe/index.html")


@pytest.mark.parametrize("how", ["deleted", "rubbish", "spoilt content", "spoilt entry"])
def test_a_spoilt_cache_makes_no_page_wrong(series: Series, how: str) -> None:
    series.write()
    sound = {path: path.read_bytes() for path in pages(series.site)}
    shutil.rmtree(series.site)
    assert series.cache is not None
    if how == "deleted":
        series.cache.unlink()
    elif how == "rubbish":
        series.cache.write_bytes(b"not a database at all" * 100)
    else:
        with sqlite3.connect(series.cache) as db:
            if how == "spoilt content":
                import zlib

                db.execute("update contents set content = ?", (zlib.compress(b"<p>61 mm"),))
            else:
                db.execute("update entries set tree = replace(tree, '60 mm', '61 mm')")
        db.close()
    series.write()
    assert {path: path.read_bytes() for path in pages(series.site)} == sound


def test_a_page_changed_by_hand_is_kept_aside(series: Series) -> None:
    series.write()
    page = series.site / "globe" / "index.html"
    page.write_text("mine", encoding="utf-8")
    done = series.write()
    assert "globe/index.html" in done.done.written
    assert page.with_name("index.html.kept-1").read_text(encoding="utf-8") == "mine"
    assert any("kept-1" in note for note in done.notes)


def test_pages_of_a_design_that_is_gone_are_removed_if_they_are_ours(series: Series) -> None:
    series.write()
    mine = series.site / "globe" / "notes.txt"
    mine.write_text("mine", encoding="utf-8")
    changed = series.site / "lobed-globe" / "captions.vtt"
    changed.write_text("mended by hand", encoding="utf-8")
    for name in ("globe", "lobed-globe"):
        (series.designs / f"{name}.published.yaml").unlink()
    done = series.write()
    assert "globe/index.html" in done.done.removed
    assert not (series.site / "globe" / "index.html").exists()
    assert mine.read_text(encoding="utf-8") == "mine"
    assert changed.read_text(encoding="utf-8") == "mended by hand"
    assert any("lobed-globe/captions.vtt" in note for note in done.notes)
    assert 'href="globe/' not in series.text("index.html")


def test_a_figure_that_viewers_were_told_otherwise_stops_the_site(series, edit) -> None:
    series.write()
    before = series.text("globe/index.html")
    edit(series.designs / "globe.yaml", "diameter: 60 mm", "diameter: 61 mm")
    with pytest.raises(BadInput) as caught:
        series.write()
    assert "viewers were told" in caught.value.faults[0].what
    assert "studio correct" in caught.value.faults[0].write
    assert series.text("globe/index.html") == before


def test_without_an_address_there_is_no_feed_and_it_is_said(series, edit) -> None:
    series.write()
    assert (series.site / "feed.xml").is_file()
    edit(
        series.designs / "workshop.yaml",
        "  address: https://fernhollow-bench.example/ornaments/", '  address: ""',
    )  # fmt: skip
    done = series.write()
    assert {"feed.xml", "sitemap.xml"} <= set(done.done.removed)
    assert any("site: {address: https://" in note for note in done.notes)
    assert "feed.xml" not in series.text("index.html")


def test_an_address_with_a_question_is_refused_with_its_line(series, edit, faults_of) -> None:
    edit(series.designs / "workshop.yaml", "example/ornaments/", "example/?page=")
    (fault,) = faults_of(series.designs / "globe.yaml")
    assert "workshop.yaml:" in fault
    assert "write the folder's address alone" in fault


def test_no_published_design_is_told_in_words(series: Series) -> None:
    with pytest.raises(BadInput, match="none of these designs is published"):
        whole.write_site([], series.site, lambda one: one, known=None)


def test_hostile_texts_stay_texts(hostile: Series) -> None:
    hostile.write()
    for name in LISTS:
        text = hostile.text(name)
        read = Links(text)
        assert read.tags.count("script") == (1 if name == "index.html" else 0)
        assert not read.handlers
        assert "b" not in read.tags
        assert "<img src=x" not in text
    index = hostile.text("index.html")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in index
    assert HOSTILE["hostile-rtl"] in index
    assert "(% raw %)x(% endraw %) ${alert(1)} #set" in index


def test_an_old_entry_is_forgotten(series: Series) -> None:
    series.write()
    assert series.cache is not None
    later = date(2026, 11, 26).toordinal() + 121
    book = Known(series.cache, later)
    key = book.key(series.designs / "globe.yaml")
    book.close()
    assert Known(series.cache, later).entry(key) is None


def test_many_pages_are_made_by_several_processes_as_by_one(hostile, monkeypatch) -> None:
    monkeypatch.setattr(whole, "_ALONE", 3)
    hostile.write(cached=False)
    several = {path: path.read_bytes() for path in pages(hostile.site)}
    shutil.rmtree(hostile.site)
    monkeypatch.setattr(whole, "_ALONE", 1000)
    hostile.write(cached=False)
    assert {path: path.read_bytes() for path in pages(hostile.site)} == several


def with_films(series: Series) -> whole.Site:
    return whole.write_site(
        whole.published_designs(series.designs), series.site,
        lambda design: series.build / design.stem, known=None, films=True,
    )  # fmt: skip


def test_a_page_that_shows_a_film_gets_it_only_if_asked(filmed: Series) -> None:
    series = filmed
    (series.build / "globe" / FILM).write_bytes(b"film")
    done = series.write()
    assert any("film.mp4 to globe/film.mp4" in film for film in done.films)
    with_films(series)
    assert (series.site / "globe" / FILM).read_bytes() == b"film"
    # a later run without the films takes none away, and says which one was burnt anew since
    done = series.write()
    assert (series.site / "globe" / FILM).read_bytes() == b"film"
    assert not done.films
    assert "globe/film.mp4" not in done.done.removed
    (series.build / "globe" / FILM).write_bytes(b"another")
    done = series.write()
    assert (series.site / "globe" / FILM).read_bytes() == b"film"
    assert any("film.mp4 to globe/film.mp4" in film for film in done.films)


def test_a_player_stands_only_where_a_film_is(filmed: Series) -> None:
    """Chapters are told all the same; what was kept of a page without the film is not used."""
    filmed.write()
    page = filmed.text("globe/index.html")
    assert "<video" not in page
    assert "VideoObject" not in page
    assert '"Clip"' not in page
    assert page.count('<span class="chapter">') >= 3
    (filmed.build / "globe" / FILM).write_bytes(b"film")
    filmed.write()
    page = filmed.text("globe/index.html")
    assert '<source src="film.mp4"' in page
    assert '"@type":"VideoObject"' in page
    assert page.count('<a class="chapter" href="film.mp4#t=') >= 3
    assert "<video" not in filmed.text("lobed-globe/index.html")


def test_a_film_changed_by_hand_is_told_as_one(filmed: Series) -> None:
    (filmed.build / "globe" / FILM).write_bytes(b"film")
    with_films(filmed)
    (filmed.site / "globe" / FILM).write_bytes(b"encoded anew for the site")
    done = filmed.write()
    (told,) = (one for one in done.notes if one.startswith("globe/film.mp4"))
    assert "another film than the one that studio copied there" in told
    assert "--films" in told
    assert (filmed.site / "globe" / FILM).read_bytes() == b"encoded anew for the site"
    assert "<video" in filmed.text("globe/index.html")


def nowhere(series: Series) -> None:
    """Takes the site's address out of the workshop file."""
    path = series.designs / "workshop.yaml"
    text = path.read_text("utf-8")
    assert text.count(f"address: {ADDRESS}") == 1
    path.write_text(text.replace(f"address: {ADDRESS}", 'address: ""'), "utf-8")


def test_why_a_file_went_is_told(series: Series) -> None:
    series.write()
    nowhere(series)
    (series.build / "globe" / "piece.png").unlink()
    record_file(series.designs / "twelve-lobe-drop.yaml").unlink()
    why = dict(series.write().gone)
    assert "needs the site's whole address" in why["feed.xml"]
    assert "needs the site's whole address" in why["sitemap.xml"]
    assert "no picture of globe as it is now" in why["globe/piece.png"]
    assert "no published design is called twelve-lobe-drop" in why["twelve-lobe-drop/index.html"]


PREVIEW = re.compile(r'<meta property="og:(\w+)" content="([^"]*)">')


def test_where_the_address_is_known_pages_say_it(series: Series) -> None:
    """The Open Graph protocol (https://ogp.me): title, type, image and url; RFC 6596, canonical."""
    series.write()
    for name in ("globe/index.html", "index.html", "family.html"):
        page, address = series.text(name), f"{ADDRESS}{name}"
        assert f'<link rel="canonical" href="{address}">' in page
        found = dict(PREVIEW.findall(page))
        assert found["url"] == address
        assert found["image"] == f"{ADDRESS}globe/piece.png"
        assert found["type"] == ("article" if "/" in name else "website")
        assert found["title"]
        assert found["description"]
    globe = series.text("globe/index.html")
    assert f'"image":"{ADDRESS}globe/piece.png"' in globe
    # links on the page stay relative: it opens from the disk too
    assert '<img src="piece.png"' in globe


def test_without_an_address_no_page_says_one(series: Series) -> None:
    nowhere(series)
    series.write()
    for name in ("globe/index.html", "index.html"):
        page = series.text(name)
        assert "canonical" not in page
        assert not PREVIEW.findall(page)


def test_a_corrected_design_moves_up_in_the_feed_but_not_in_the_index(series) -> None:
    publish(series.designs / "crowned-globe.yaml", date(2026, 4, 1))
    design = series.designs / "crowned-globe.yaml"
    change = Change(
        name="sphere.diameter",
        label="Diameter",
        old="71 mm (2 51/64 in)",
        new=open_episode(design).table["sphere.diameter"].both,
    )
    slip = Correction(on="2026-07-01", reason="a slip", changes=(change,))
    record = replace(read_record(design), corrections=(slip,))
    record_file(design).write_text(as_text(record), encoding="utf-8")
    series.write()
    assert series.text("index.html").rindex("crowned-globe/index.html") > series.text(
        "index.html"
    ).rindex("lobed-globe/index.html")
    first = series.text("feed.xml").partition("<entry>")[2]
    assert "crowned-globe/index.html" in first.partition("</entry>")[0]
