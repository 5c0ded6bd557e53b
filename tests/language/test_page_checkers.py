"""The German page before other people's checkers, and the page that is German in part."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from studio.episode.languages import in_languages
from studio.measure.trace import plain
from studio.paper import PAPERS
from tests.browser import browse, checked, package_file
from tests.outside.test_page_checkers import AXE, WIDTHS


def pages_of(design: Path, folder: Path) -> list[Path]:
    out = []
    for episode, ending in zip(in_languages(design, ["de"]), ("", ".de"), strict=True):
        for paper in ("handout", "demonstration"):
            out.append(folder / f"{paper}{ending}.html")
            out[-1].write_text(plain(PAPERS[f"{paper}.html"](episode)), encoding="utf-8")
    return out


def test_pages_in_two_languages_have_no_error(folder: Path, tmp_path: Path) -> None:
    """Outside: the Nu HTML checker, on a whole translation and on one with gaps."""
    pages = pages_of(folder / "globe.yaml", tmp_path)
    gaps = tmp_path / "gaps"
    gaps.mkdir()
    pages += pages_of(folder / "crowned-globe.yaml", gaps)
    said = [
        f"{Path(one['url']).name}, line {one.get('lastLine')}: {one['message']}"
        for one in checked(*pages)
        if one["type"] != "info"
    ]
    assert said == []


def test_axe_finds_no_violation_on_the_german_page(globe: Path, tmp_path: Path) -> None:
    """Outside: axe-core in headless Chromium, at every width; its rules ask for valid ``lang``."""
    axe = package_file("axe-core/axe.min.js").read_text(encoding="utf-8") + ";0"
    page = next(one for one in pages_of(globe, tmp_path) if one.name == "handout.de.html")
    steps: list[dict[str, Any]] = []
    for width in WIDTHS:
        steps += [{"open": page.as_uri(), "width": width}, {"run": axe}, {"run": AXE}]
        steps += [{"run": "document.documentElement.scrollWidth - window.innerWidth"}]
    said = browse(*steps)
    found = [one for one in said if isinstance(one, list)]
    assert found == [[] for _ in WIDTHS]
    # nothing runs over the edge, though German words are long
    assert [one for one in said if isinstance(one, int) and one > 0] == []
