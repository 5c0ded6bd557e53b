"""Addresses in a text: what stands in them leads somewhere and is no figure."""

from __future__ import annotations

import re

ADDRESS = re.compile(
    r"""\b(?:https?://|mailto:)(?:[^\s<>"()\[\]]|\([^\s<>"()\[\]]*\))+(?<![.,;:!?])""",
    re.IGNORECASE,
)
"""From its scheme to its end: brackets in pairs may be part of it, a sentence's stop is not."""
