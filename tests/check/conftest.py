"""A built design, made once and copied for each test."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from studio.check import papers
from studio.check.checks import run
from studio.check.context import Context
from studio.check.findings import Finding, Outcome
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.files import write_outputs
from studio.paper.unbroken import unbroken
from studio.resources import shipped


@cache
def _context(design: Path, out: Path) -> Context:
    """For tests that change outputs and leave the design alone."""
    return Context.of(design, out)


@dataclass(frozen=True)
class Built:
    """A design and its outputs, free to be changed."""

    design: Path
    out: Path

    def check(self) -> Outcome:
        return run(Context.of(self.design, self.out))

    def text_errors(self, name: str) -> int:
        """Of one text alone, which is quicker where many changes are tried."""
        return papers.check_file(_context(self.design, self.out), name).errors

    def codes(self) -> list[str]:
        return [finding.code for finding in self.check().findings]

    def only(self) -> Finding:
        (finding,) = self.check().findings
        return finding

    def replace(self, name: str, old: str, new: str) -> None:
        path = self.out / name
        text = path.read_text(encoding="utf-8")
        if name.endswith(".html"):
            old, new = unbroken(old), unbroken(new)
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.fixture(scope="session")
def built_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("built")
    shutil.copytree(shipped("designs"), place / "designs")
    design = place / "designs" / "globe.yaml"
    text = design.read_text(encoding="utf-8").replace("size: 960x540", "size: 640x360")
    design.write_text(text, encoding="utf-8")
    write_outputs(place / "out", build_files(open_episode(design)))
    return place


@pytest.fixture
def built(built_once: Path, tmp_path: Path) -> Built:
    place = tmp_path / "copy"
    shutil.copytree(built_once, place)
    return Built(place / "designs" / "globe.yaml", place / "out")
