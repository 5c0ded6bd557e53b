"""Designs of a few lines, and what is told of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.episode.assemble import open_episode
from studio.errors import BadInput
from studio.measure.measurement import MeasurementTable

START = "title: Told\nstock: {species: cherry, diameter: 60 mm}\n"
STEPS = "steps:\n  - {id: a, title: A, does: [mounting], stage: off-centre, do: Do it.}\n"


def written(folder: Path, text: str, start: str = START) -> Path:
    path = folder / "told.yaml"
    path.write_text(start + text + STEPS, encoding="utf-8")
    return path


def table(folder: Path, text: str, start: str = START) -> MeasurementTable:
    return open_episode(written(folder, text, start)).table


def faults(folder: Path, text: str, start: str = START) -> str:
    with pytest.raises(BadInput) as raised:
        open_episode(written(folder, text, start))
    return "\n".join(str(fault) for fault in raised.value.faults)
