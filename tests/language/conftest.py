"""Designs in German, and a language that no design is written in."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from studio import language
from studio.commands.build import build_files, files_in_language
from studio.episode.languages import in_languages
from studio.episode.phrases import _SMALL
from studio.language import BETWEEN, ENGLISH, Language
from studio.language.extract import template_catalogue

STAYS = re.compile(r"(\{\w*\}|%\(\w+\)s|</?\w[^>]*>)")
VEIL = "ж"


def veiled(text: str) -> str:
    """A message without a letter of the alphabet that designs are written in."""
    parts = STAYS.split(text)
    return "".join(one if STAYS.fullmatch(one) else re.sub(r"[^\W\d_]", VEIL, one) for one in parts)


@pytest.fixture
def veil(monkeypatch: pytest.MonkeyPatch) -> Iterator[Language]:
    """A language that has every word of the tool, and none that could be read: ``de`` means it."""
    messages: dict[str, str | tuple[str, ...]] = {}
    for one in template_catalogue():
        if one.id:
            key = one.id if isinstance(one.id, str) else one.id[0]
            context = f"{one.context}{BETWEEN}" if one.context else ""
            messages[context + key] = (
                veiled(one.id) if isinstance(one.id, str) else tuple(map(veiled, one.id))
            )
    made = replace(ENGLISH, tag="ja", decimal=",", group=".", messages=messages)
    monkeypatch.setitem(_SMALL, "ja", _SMALL["de"])
    monkeypatch.setattr(
        "studio.episode.assemble.language_of", lambda tag: made if tag == "de" else ENGLISH
    )
    language.MISSED.clear()
    yield made
    language.MISSED.clear()


@pytest.fixture
def in_german(folder: Path) -> Callable[[str], Path]:
    """Makes German the language of a shipped design, whose texts stay as they are."""

    def change(name: str) -> Path:
        for texts in folder.glob("*.de.yaml"):
            texts.unlink()
        path = folder / f"{name}.yaml"
        path.write_text(f"language: de\n{path.read_text(encoding='utf-8')}", encoding="utf-8")
        return path

    return change


@pytest.fixture
def built(tmp_path: Path) -> Callable[..., Path]:
    """Builds a design in a second language too, quickly: without its pictures."""

    def build(design: Path, tag: str = "de") -> Path:
        from studio.files import write_outputs

        out = tmp_path / "out"
        first, second = in_languages(design, [tag])
        files = build_files(first, out) | files_in_language(second, out)
        write_outputs(out, files)
        return out

    return build
