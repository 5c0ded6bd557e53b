"""Templates kept compiled: taken over while they are what they were, and never needed."""

from __future__ import annotations

from pathlib import Path

import jinja2
import pytest

from studio.files import cache_folder
from studio.paper.compiled import Compiled


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return cache_folder() / "templates"


def said(template: Path, module: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, bool]:
    """What the template says, and whether it had to be compiled for that."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(template.parent), bytecode_cache=Compiled([module])
    )
    compiled = []
    generate = environment._generate  # type: ignore[attr-defined]
    monkeypatch.setattr(
        environment,
        "_generate",
        lambda *args, **named: compiled.append(1) or generate(*args, **named),
    )
    return environment.get_template(template.name).render(size="17 mm"), bool(compiled)


def test_a_template_is_compiled_once(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    template, module = tmp_path / "sheet.txt.j2", tmp_path / "filters.py"
    template.write_text("Mark {{ size }}.", "utf-8")
    module.write_text("one", "utf-8")
    assert said(template, module, monkeypatch) == ("Mark 17 mm.", True)
    assert said(template, module, monkeypatch) == ("Mark 17 mm.", False)
    # another text, other filters, a spoilt file: compiled anew
    template.write_text("Cut {{ size }}.", "utf-8")
    assert said(template, module, monkeypatch) == ("Cut 17 mm.", True)
    module.write_text("other", "utf-8")
    assert said(template, module, monkeypatch) == ("Cut 17 mm.", True)
    assert said(template, module, monkeypatch) == ("Cut 17 mm.", False)
    for file in cache.iterdir():
        file.write_bytes(b"spoilt")
    assert said(template, module, monkeypatch) == ("Cut 17 mm.", True)


def test_a_folder_that_cannot_be_written_keeps_nothing(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.parent.mkdir(parents=True)
    cache.write_bytes(b"a file in its place")
    template = tmp_path / "sheet.txt.j2"
    template.write_text("Mark {{ size }}.", "utf-8")
    for _ in range(2):
        assert said(template, template, monkeypatch) == ("Mark 17 mm.", True)
