"""A list with one faulty entry is told once; an empty one is told as empty."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput

TEXT = (
    "title: G\nstock: {species: cherry, diameter: 60 mm}\nsanding: {grits: GRITS}\n"
    "steps:\n  - {id: a, title: A, does: [mounting], stage: rough, do: Do it.}\n"
)


@pytest.mark.parametrize(
    ("grits", "told"), [("[120]", "does not say which scale"), ("[]", "write at least 1")]
)
def test_a_short_list_is_told_once(folder: Path, grits: str, told: str) -> None:
    path = folder / "grits.yaml"
    path.write_text(TEXT.replace("GRITS", grits), encoding="utf-8")
    with pytest.raises(BadInput) as raised:
        open_episode(path)
    (fault,) = raised.value.faults
    assert told in str(fault)
