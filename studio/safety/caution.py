"""The record of a caution."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A safety note computed from what a step does.

    Attributes:
        code: stable name of the hazard (``spindle-running``, ``sanding``).
        short: marked; the on-screen form, at most about eight words.
        text: marked; the full note for papers.
        source: the standard, publication or "common practice, no source".
        ceiling: name of the speed ceiling that it tells; empty for all others.
    """

    code: str
    short: str
    text: str
    source: str
    ceiling: str = ""
