"""Names may hold the signs that Markdown, WebVTT, SubRip and FFmpeg's metadata keep for themselves.

Outside: each format's own list of them. CommonMark 0.31.2, 2.4 "Backslash escapes" (all of ASCII's
punctuation); W3C "WebVTT", cue text (``&``, ``<``, ``>``, ``-->``); FFmpeg formats, "Metadata 2"
(``=``, ``;``, ``#``, ``\\``).
"""

from __future__ import annotations

import shutil
import string
from pathlib import Path

from studio.check.findings import Severity
from studio.commands.build import build_files
from studio.episode.assemble import open_episode
from studio.files import write_outputs
from studio.resources import shipped
from tests.check.conftest import Built

SIGNS = "".join(sign for sign in string.punctuation if sign not in "{}")
"""Braces are the design's own: they name a measurement."""
NAME = f"oil {SIGNS} --> wax"


DESIGN = """
title: NAME
summary: NAME
credit: CREDIT
plain_words: [PLAIN]
stock: {species: white ash, diameter: 50 mm}
finish: {product: NAME, coats: 1, recoat: 1 h, dry: 2 h}
parts:
  cap:
    title: NAME
    profile:
      - {shape: bead, length: 8 mm, crown: 17 mm, start: 10.4 mm, end: 15 mm}
      - {shape: tenon, length: 6 mm, diameter: 10.4 mm}
steps:
  - id: first
    title: Now {{ finish.product }}
    chapter: Now {{ finish.product }}
    tools: [NAME]
    does: [spindle-running, finishing]
    do: Put on {{ finish.product }} and {{ cap.hole }}, not 3 & 4.
    say: Put on {{ finish.product }} and {{ cap.hole }}.
    show: [finish.product, cap.hole]
  - {id: second, title: Then, chapter: "{{ finish.product }}", do: Look., does: [nothing]}
  - {id: third, title: Last, chapter: "{{ finish.product }}", do: Look., does: [nothing]}
film:
  length: 1:00
  marks: {first: 0:00, second: 0:20, third: 0:40}
"""


def quoted(text: str) -> str:
    """In YAML's single quotes, which know no escapes."""
    return "'" + text.replace("'", "''") + "'"


def test_no_format_makes_a_name_another(tmp_path: Path) -> None:
    design = tmp_path / "signs.yaml"
    shutil.copy(shipped("designs") / "workshop.yaml", tmp_path)
    text = DESIGN.replace("PLAIN", quoted("3 & 4")).replace("NAME", quoted(NAME))
    design.write_text(text.replace("CREDIT", quoted(f"It is *mine* {SIGNS[:4]}.")), "utf-8")
    write_outputs(tmp_path / "out", build_files(open_episode(design)))
    outcome = Built(design, tmp_path / "out").check()
    assert [one for one in outcome.findings if one.severity is not Severity.NOTE] == []
