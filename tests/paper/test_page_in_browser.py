"""The pages in a browser: nothing wider than the screen, nothing lost in print.

Needs Chromium, and says so when it is missing.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from html import escape, unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.episode.languages import in_languages
from studio.episode.records import Change, Correction, Episode
from studio.measure.measurement import System
from studio.measure.trace import plain
from studio.paper import PAPERS
from studio.paper.drawings import drawings_of
from studio.paper.rendering import style
from studio.paper.sight import SHOWN, seen_text
from studio.resources import shipped
from tests.browser import browse as driven
from tests.browser import chromium
from tests.paper.test_sight import HIDING

PAGES = ("handout.html", "cut-sheet.html")
SEEN = (*PAGES, "demonstration.html")
SHEETS = ("A4", "Letter")
WIDTHS = (320, 360, 500, 600, 720, 800, 900, 960, 1000, 1100, 1280, 1600)

# Same-document frames, one per page and width; the harness looks into them and writes what it
# found into its own body, which --dump-dom prints. The pages' own policy forbids scripts inside.
HARNESS = """<!DOCTYPE html><meta charset="utf-8"><body>
{frames}
<script>
addEventListener("load", () => {{
  const found = [];
  for (const frame of document.querySelectorAll("iframe")) {{
    const page = frame.contentDocument, root = page.documentElement;
    const said = {{name: frame.title, wide: root.scrollWidth, screen: root.clientWidth,
                  out: [], over: [], collide: [], small: []}};
    for (const box of page.body.querySelectorAll("*")) {{
      const r = box.getBoundingClientRect();
      if (r.width && (r.right > root.clientWidth + 1 || r.left < -1) && !box.closest("svg"))
        said.out.push(box.tagName + "." + box.className);
      // what is inside a box but wider than it stands on its neighbour, or is cut off
      if (box.clientWidth && box.scrollWidth > box.clientWidth + 1 && !box.closest("svg"))
        said.over.push(box.tagName + "." + box.className + " " + box.scrollWidth + " > "
          + box.clientWidth + " " + box.textContent.trim().slice(0, 30));
    }}
    for (const svg of page.querySelectorAll("svg.drawing")) {{
      const edge = svg.getBoundingClientRect();
      const texts = [...svg.querySelectorAll("text")].map(t => [t, t.getBoundingClientRect()]);
      texts.forEach(([t, a], i) => {{
        if (a.left < edge.left - 1 || a.right > edge.right + 1 || a.top < edge.top - 1
            || a.bottom > edge.bottom + 1) said.out.push(t.textContent);
        const scale = edge.width / svg.viewBox.baseVal.width;
        const size = parseFloat(t.getAttribute("font-size")) * scale;
        if (size < 9) said.small.push(t.textContent + " " + size);
        for (const [u, b] of texts.slice(i + 1))
          if (a.left < b.right && b.left < a.right && a.top + 3 < b.bottom && b.top + 3 < a.bottom)
            said.collide.push(t.textContent + " / " + u.textContent);
      }});
    }}
    found.push(said);
  }}
  const out = document.createElement("pre");
  out.id = "found";
  out.textContent = JSON.stringify(found);
  document.body.append(out);
}});
</script>"""


def poppler(tool: str, *arguments: str | Path) -> str:
    """What a poppler tool says; a missing one fails the test with the line to type."""
    if shutil.which(tool) is None:
        pytest.fail(f"{tool} is missing. Type: sudo apt-get install poppler-utils", pytrace=False)
    return subprocess.run([tool, *arguments], capture_output=True, text=True, check=True).stdout


def browse(folder: Path, *arguments: str) -> str:
    done = subprocess.run(
        [
            chromium(),
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            f"--user-data-dir={folder / 'profile'}",
            *arguments,
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


class Found(HTMLParser):
    """The harness's findings."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.text = ""
        self._here = False
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._here = ("id", "found") in attrs

    def handle_data(self, data: str) -> None:
        if self._here:
            self.text += data


def looked_at(
    pages: dict[str, str], folder: Path, widths: Mapping[str, tuple[int, ...]]
) -> list[dict[str, object]]:
    frames = "\n".join(
        f'<iframe title="{name} at {width}" style="border:0;width:{width}px;height:900px" '
        f'srcdoc="{escape(page)}"></iframe>'
        for name, page in pages.items()
        for width in widths[name]
    )
    harness = folder / "harness.html"
    harness.write_text(HARNESS.format(frames=frames), encoding="utf-8")
    dumped = browse(folder, "--dump-dom", harness.as_uri())
    found: list[dict[str, object]] = json.loads(Found(dumped).text)
    assert len(found) == sum(len(widths[name]) for name in pages)
    return found


def test_no_page_is_wider_than_its_screen_and_no_label_collides(
    episode: Episode,
    imperial_episode: Episode,
    long_episode: Episode,
    hostile_episode: Episode,
    wide_episode: Episode,
    marked_episode: Callable[[int], Episode],
    drawn: dict[str, Episode],
    tmp_path: Path,
) -> None:
    pages = {
        f"{paper} {name}": plain(PAPERS[paper](each))
        for paper in SEEN
        for name, each in (
            ("metric", episode),
            ("imperial", imperial_episode),
            ("long", long_episode),
            ("hostile", hostile_episode),
        )
    }
    for paper in SEEN:
        pages[f"{paper} wide figures"] = plain(PAPERS[paper](wide_episode))
        pages[f"{paper} inches"] = plain(PAPERS[paper](drawn["inches"]))
        for count in (1, 2, 3, 5, 96):
            pages[f"{paper} {count} marks"] = plain(PAPERS[paper](marked_episode(count)))
    # the narrowest screen is where a long word or a stranger's text would stick out
    everywhere = ("metric", "wide figures", "inches")
    widths = {name: WIDTHS if name.endswith(everywhere) else (320,) for name in pages}
    for said in looked_at(pages, tmp_path, widths):
        assert said["wide"] == said["screen"], said
        assert said["over"] == [], said
        assert said["out"] == [], said
        assert said["collide"] == [], said
        assert said["small"] == [], said


SHIPPED = ("globe", "lobed-globe", "twelve-lobe-drop", "crowned-globe")


@pytest.mark.parametrize("paper", SEEN)
def test_nothing_on_the_demos_pages_is_cut_off_or_stands_on_its_neighbour(
    paper: str, tmp_path: Path
) -> None:
    """Every box of every shipped design's pages holds what is in it, at every width."""
    pages = {
        f"{paper} {name}": plain(PAPERS[paper](open_episode(shipped("designs") / f"{name}.yaml")))
        for name in SHIPPED
    }
    wrong = {}
    for said in looked_at(pages, tmp_path, dict.fromkeys(pages, WIDTHS)):
        assert said["collide"] == [], said
        assert said["small"] == [], said
        if said["wide"] != said["screen"] or said["out"] or said["over"]:
            wrong[str(said["name"])] = said["over"] or said["out"]
    assert wrong == {}


def test_a_correction_of_any_figure_fits_the_narrowest_screen(
    drawn: dict[str, Episode], german_drawn: dict[str, Episode], tmp_path: Path
) -> None:
    """Some figures are half a sentence: where a groove's start lies, how far out a setting ends."""
    pages = {
        f"{name}, {each.language.tag}": plain(PAPERS["handout.html"](all_corrected(each)))
        for designs in (drawn, german_drawn)
        for name, each in designs.items()
        if name in ("inches", "rings and grooves", "five flared grooves", "parts")
    }
    for said in looked_at(pages, tmp_path, dict.fromkeys(pages, (320, 360))):
        assert said["wide"] == said["screen"], said
        assert (said["out"], said["over"]) == ([], []), said


def all_corrected(episode: Episode) -> Episode:
    """With a correction of every figure."""
    changes = tuple(
        Change(name=one.name, label=one.label, old=one.both, new=one.both)
        for one in episode.table.values()
    )
    return replace(
        episode, corrections=(Correction(on="2026-03-01", reason="Smaller.", changes=changes),)
    )


def test_no_words_of_a_schedule_are_squeezed_into_a_tall_cell(tmp_path: Path) -> None:
    """Six grooves and a ring: eight columns, two of them words."""
    design = tmp_path / "designs" / "lobed-globe.yaml"
    shutil.copytree(shipped("designs"), design.parent)
    text = design.read_text("utf-8")
    for old, new in (
        ("marks: 8", "marks: 12"),
        ("number: 4", "number: 6"),
        ("width: 6 mm", "width: 4 mm"),
        ("depth: 2 mm", "depth: 1 mm"),
        ("\nsteps:\n", "\nrings: [{place: 0 mm, width: 3 mm, depth: 0.8 mm}]\n\nsteps:\n"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    design.write_text(text, "utf-8")
    page = tmp_path / "handout.html"
    page.write_text(plain(PAPERS["handout.html"](open_episode(design))), "utf-8")
    lines = {
        "run": "Math.max(...[...document.querySelectorAll('.schedule td > .words')].map((one) => {"
        "const range = document.createRange(); range.selectNodeContents(one);"
        "return new Set([...range.getClientRects()].map((each) => Math.round(each.top))).size; }))"
    }
    steps: list[dict[str, object]] = []
    for width in (360, 600, 800, 870, 960, 1280):
        steps += [{"open": page.as_uri(), "width": width}, lines]
    most = driven(*steps)[1::2]
    assert all(1 <= one <= 5 for one in most), most


def test_no_label_of_any_design_is_cut_off_or_collides_in_the_browsers_own_lettering(
    drawn: dict[str, Episode], tmp_path: Path
) -> None:
    """Odd counts, balls from 8 to 600 mm, inches first, titles of 180 letters."""
    pages = {
        f"{name}, {system}": f"<!DOCTYPE html><style>{style('paper.css')}</style>"
        + "".join(
            plain(f"<figure>{one.svg}</figure>") for one in drawings_of(replace(each, first=system))
        )
        for name, each in drawn.items()
        for system in System
    }
    for said in looked_at(pages, tmp_path, dict.fromkeys(pages, (480,))):
        assert said["out"] == [], said
        assert said["collide"] == [], said


def test_the_harness_finds_a_page_that_is_too_wide(tmp_path: Path) -> None:
    page = '<!DOCTYPE html><body><p style="width:500px">wide'
    found = {
        str(said["name"]): said for said in looked_at({"bad": page}, tmp_path, {"bad": WIDTHS})
    }
    assert found["bad at 360"]["out"] != []
    assert found["bad at 720"]["out"] == []
    boxed = '<!DOCTYPE html><body><div style="width:100px"><p style="width:200px">wide'
    [said] = looked_at({"boxed": boxed}, tmp_path, {"boxed": (720,)})
    assert said["out"] == []
    assert said["over"] != []


@pytest.fixture(scope="module")
def printed(
    episode: Episode, crowned: Episode, tmp_path_factory: pytest.TempPathFactory
) -> dict[tuple[str, str, str], Path]:
    """Every page printed on both sheets, side by side since most of it is the browser's start."""

    def one(page: str, sheet: str) -> Path:
        folder = tmp_path_factory.mktemp("print")
        sized = page.replace("</head>", f"<style>@page {{ size: {sheet}; }}</style></head>")
        source, out = folder / "page.html", folder / "page.pdf"
        source.write_text(sized, encoding="utf-8")
        browse(folder, "--no-pdf-header-footer", f"--print-to-pdf={out}", source.as_uri())
        return out

    chromium()
    with ThreadPoolExecutor() as pool:
        jobs = {
            # laid out here: the Markdown library is not made for several threads
            (each.name, paper, sheet): pool.submit(one, plain(PAPERS[paper](each)), sheet)
            for each in (episode, crowned)
            for paper in PAGES
            for sheet in (SHEETS if each is crowned else SHEETS[:1])
        }
        return {job: waiting.result() for job, waiting in jobs.items()}


def sheets_of(pdf: Path) -> list[str]:
    """The words on each sheet, in reading order, spaces evened out."""
    text = poppler("pdftotext", "-layout", pdf, "-")
    return [" ".join(one.split()) for one in text.split("\f") if one.strip()]


@pytest.mark.parametrize("paper", PAGES)
@pytest.mark.parametrize(
    ("which", "sheet"), [("episode", "A4"), ("crowned", "A4"), ("crowned", "Letter")]
)
def test_prints_whole(
    which: str,
    paper: str,
    sheet: str,
    printed: dict[tuple[str, str, str], Path],
    request: pytest.FixtureRequest,
) -> None:
    """Printed pages read back with poppler's pdftotext: every step on one page, in order."""
    each: Episode = request.getfixturevalue(which)
    pdf = printed[each.name, paper, sheet]
    info = poppler("pdfinfo", pdf)
    # ISO 216 A4 is 210 × 297 mm; ANSI A (Letter) is 8.5 × 11 in; a point is 1/72 in
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", info)
    assert size is not None
    due = (210 / 25.4 * 72, 297 / 25.4 * 72) if sheet == "A4" else (612.0, 792.0)
    assert [float(side) for side in size.groups()] == pytest.approx(due, abs=1)
    pages = sheets_of(pdf)
    if paper == "cut-sheet.html":
        assert len(pages) <= (3 if each.piece is None else 11)
    last = 0
    for step in each.steps:
        head = f"{step.number} {plain(step.title)}"
        on = [place for place, one in enumerate(pages) if head in one]
        assert len(on) == 1, head
        assert on[0] >= last
        last = on[0]
        for caution in step.cautions:
            assert plain(caution.short).split(",")[0].split(".")[0] in pages[on[0]]
    assert "Fernhollow Bench" in pages[0]
    assert plain(each.deference).split(",")[0] in pages[0]


@pytest.mark.parametrize("paper", PAGES)
@pytest.mark.parametrize("sheet", SHEETS)
def test_no_drawing_is_split_and_no_sheet_is_left_mostly_empty(
    paper: str, sheet: str, crowned: Episode, printed: dict[tuple[str, str, str], Path]
) -> None:
    """Every label of a drawing stands on the sheet that has its caption; every sheet but the last
    has something in its lower half."""
    pdf = printed[crowned.name, paper, sheet]
    raw = poppler("pdftotext", "-raw", pdf, "-").split("\f")
    pages = [" ".join(one.split()) for one in raw]
    for one in drawings_of(crowned):
        start = " ".join(one.caption.split()[:5])
        svg = plain(str(one.svg))
        labels = [unescape(found) for found in re.findall(r'class="name"[^>]*>([^<]+)<', svg)]
        whole = [page for page in pages if start in page and all(word in page for word in labels)]
        assert whole, one.caption
    boxes = poppler("pdftotext", "-bbox", pdf, "-")
    found = re.findall(r'<page width="[\d.]+" height="([\d.]+)">(.*?)</page>', boxes, re.DOTALL)
    for height, words in found[:-1]:
        feet = [float(foot) for foot in re.findall(r'yMax="([\d.]+)"', words)]
        # the page's own number stands in the margin below
        inside = [foot for foot in feet if foot < float(height) - 45]
        assert max(inside) > float(height) * 0.5


def test_chromium_prints_what_counts_as_seen(tmp_path: Path) -> None:
    """Words that are seen by our list stand on the sheets that Chromium prints, read by pdftotext.

    Each element that shows, and markup that hides, with a word of its own in it.
    """
    shows = [f"<{tag}>{{}}</{tag}>" for tag in sorted(SHOWN - {"html", "head", "body"})]
    of_tables = {"caption", "colgroup", "tbody", "td", "tfoot", "th", "thead", "tr"}
    shows = [f"<table>{one}</table>" if one[1:].split(">")[0] in of_tables else one
             for one in [*shows, "<details open><p>{}</p></details>"]]  # fmt: skip
    # a shadow root puts all that stands on the page out of our sight
    hides = [one for one in HIDING if "shadowroot" not in one]
    cases = [(f"shown{n}word", one) for n, one in enumerate(shows)]
    cases += [(f"hid{n}word", one) for n, one in enumerate(hides)]
    blocks = "\n".join(f"<section>{one.format(word)}</section>" for word, one in cases)
    page = f"<!DOCTYPE html><html lang=en><title>x</title><body>{blocks}</body></html>"
    source, out = tmp_path / "page.html", tmp_path / "page.pdf"
    source.write_text(page, "utf-8")
    browse(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={out}", source.as_uri())
    printed_words = set(re.findall(r"(?:shown|hid)\d+word", poppler("pdftotext", out, "-")))
    assert printed_words == {word for word, _ in cases if word.startswith("shown")}
    assert set(re.findall(r"(?:shown|hid)\d+word", seen_text(page))) == printed_words


def test_says_what_to_type_when_chromium_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(pytest.fail.Exception, match="apt-get install chromium"):
        chromium()


PARTED = """<!DOCTYPE html><meta charset="utf-8"><body>
{frames}
<script>
addEventListener("load", () => {{
  const parted = [];
  for (const frame of document.querySelectorAll("iframe")) {{
    const page = frame.contentDocument;
    const walk = page.createTreeWalker(page.body, NodeFilter.SHOW_TEXT);
    let words = 0;
    for (let node; node = walk.nextNode();) {{
      if (node.parentElement.closest("svg, script, style, textarea")) continue;
      for (const word of node.data.matchAll(/\\p{{L}}{{5,}}/gu)) {{
        const range = page.createRange();
        range.setStart(node, word.index);
        range.setEnd(node, word.index + word[0].length);
        const lines = [...range.getClientRects()].filter((one) => one.width).map((one) => one.top);
        words += lines.length > 0;
        if (new Set(lines.map(Math.round)).size > 1) parted.push(frame.title + ": " + word[0]);
      }}
    }}
    if (words < 300) parted.push(frame.title + ": no page");
  }}
  const out = document.createElement("pre");
  out.id = "found";
  out.textContent = JSON.stringify(parted);
  document.body.append(out);
}});
</script>"""


def test_no_word_of_a_german_page_is_parted_on_a_telephone(tmp_path: Path) -> None:
    """Every word of five letters or more stands on one line in Chromium."""
    frames = []
    for name in ("lobed-globe", "crowned-globe"):
        _, german = in_languages(shipped("designs") / f"{name}.yaml", ["de"])
        page = escape(plain(PAPERS["handout.html"](german)))
        frames += [
            f'<iframe title="{name} at {width}" style="border:0;width:{width}px;height:900px" '
            f'srcdoc="{page}"></iframe>'
            for width in (320, 360, 414)
        ]
    harness = tmp_path / "parted.html"
    harness.write_text(PARTED.format(frames="\n".join(frames)), encoding="utf-8")
    dumped = browse(tmp_path, "--dump-dom", harness.as_uri())
    assert json.loads(Found(dumped).text) == []
