"""A folder of published designs, one of them with hostile texts; and a site of them."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
import yaml

from studio.episode.assemble import open_episode
from studio.episode.published import Record, as_text, publication, record_file
from studio.paper.description import without_corrections
from studio.picture.files import PICTURE, picture_files
from studio.site.whole import Site, published_designs, write_site

HOSTILE = {
    "hostile-html": "<script>alert(1)</script> & \"quotes\" 'more' ]]> <b>bold",
    "hostile-template": "{% raw %}x{% endraw %} ${alert(1)} #set",
    "hostile-long": "W" * 95,
    "hostile-rtl": "كرة خشبية גולם 木の球",
    "hostile-emoji": "🎄🪵 Ornament 👩‍🔧 é",
}


def publish(design: Path, day: date) -> None:
    """Add a publication to the record of a design, without the checks of its outputs."""
    episode = open_episode(design)
    told = publication(episode, without_corrections(episode), None, day)
    record_file(design).write_text(as_text(Record((told,))), encoding="utf-8")


@dataclass
class Series:
    """Designs, out folders and the site's folder."""

    designs: Path
    build: Path
    site: Path
    cache: Path | None = None

    def write(self, *, cached: bool = True) -> Site:
        return write_site(
            published_designs(self.designs),
            self.site,
            lambda design: self.build / design.stem,
            known=self.cache if cached else None,
            today=date(2026, 11, 26),
        )

    def text(self, name: str) -> str:
        return (self.site / name).read_text(encoding="utf-8")


@pytest.fixture
def series(folder: Path, tmp_path: Path) -> Series:
    """The shipped designs, published a day after another, the plain globe first, with pictures."""
    made = Series(folder, tmp_path / "build", tmp_path / "site", tmp_path / "cache" / "s.sqlite")
    names = ("globe", "lobed-globe", "twelve-lobe-drop")
    picture = b""
    for day, name in enumerate(names, start=1):
        publish(folder / f"{name}.yaml", date(2026, 5, day))
        if name == "globe":
            piece = open_episode(folder / "globe.yaml").piece
            assert piece is not None
            picture = picture_files(piece)[PICTURE]
            (made.build / name).mkdir(parents=True)
            (made.build / name / PICTURE).write_bytes(picture)
    return made


@pytest.fixture
def filmed(series: Series) -> Series:
    """The same; what other files than the film a page refers to are there."""
    for name in ("globe", "lobed-globe", "twelve-lobe-drop"):
        (series.build / name).mkdir(parents=True, exist_ok=True)
        (series.build / name / "thumbnail.png").write_bytes(b"still")
    return series


@pytest.fixture
def hostile(series: Series) -> Series:
    """The same with designs whose texts would do harm where somebody let them."""
    for number, (name, title) in enumerate(HOSTILE.items(), start=1):
        path = series.designs / f"{name}.yaml"
        # braces are for measurements: in a title only their code-like neighbours may stand
        safe = title.replace("{%", "(%").replace("%}", "%)")
        tree = {"title": safe, "based_on": "globe.yaml", "summary": f"{safe} <img src=x onerror=y>"}
        path.write_text(yaml.safe_dump(tree, allow_unicode=True), encoding="utf-8")
        publish(path, date(2026, 6, number))
    return series


@pytest.fixture
def state() -> Callable[[Path], dict[str, tuple[int, int]]]:
    """Inode and time of the last change of every file of a folder."""

    def seen(folder: Path) -> dict[str, tuple[int, int]]:
        paths = [Path(place) / name for place, _, names in os.walk(folder) for name in names]
        return {
            str(path.relative_to(folder)): (path.stat().st_ino, path.stat().st_mtime_ns)
            for path in paths
        }

    return seen
