"""What a reader of an output sees, for checks that ask whether words stand on it."""

from __future__ import annotations

from studio.paper.sight import hidden_by, seen_text


def seen(name: str, found: str) -> str:
    """The words of an output that are shown and printed, on one line."""
    return squeezed(seen_text(found) if name.endswith(".html") else found)


def squeezed(text: str) -> str:
    """``text`` on one line; Markdown's escapes and a page's layout change nothing of it."""
    return " ".join(text.replace("\\", "").split())


def not_there(name: str, found: str, words: str) -> tuple[str, str]:
    """What a finding says stands there instead of ``words``, and what it expects.

    Args:
        name: of the output.
        found: the output.
        words: as ``squeezed`` leaves them; they are not among what is seen.
    """
    by = hidden_by(found, words) if name.endswith(".html") else ""
    if not by:
        return "(not there)", words
    open_it = ", or write <details open>" if by == "<details>" else ""
    return f"(out of sight, within {by})", f"{words} (seen and printed: not within {by}{open_it})"
