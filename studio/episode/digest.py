"""A fingerprint of what a film says and shows, kept inside the film."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict

from studio.episode.records import Episode

PREFIX = "made-from-design:"
"""Stands before the digest in the film's comment."""


def said_digest(episode: Episode, look: str) -> str:
    """SHA-256 over cards, captions, chapters and look, as hexadecimal digits.

    Args:
        episode: what is said and shown.
        look: everything that the look decides, as text.

    Two states of a design with the same digest burn the same film.
    """
    said = {
        "title": episode.title,
        "cards": [asdict(card) for card in episode.cards],
        "cues": [asdict(cue) for cue in episode.cues],
        "chapters": [asdict(chapter) for chapter in episode.chapters],
        "look": look,
    }
    text = json.dumps(said, sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()
