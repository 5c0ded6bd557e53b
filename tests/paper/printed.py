"""What a page prints of the design's measurements, and how large a PDF sets it.

The PDF is read by pdfminer.six, which had no part in making it.
"""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator
from html import unescape
from typing import Any

from pdfminer.high_level import extract_pages
from pdfminer.layout import LTChar, LTContainer

from studio.measure.trace import spans

UNSEEN = (
    r"<nav.*?</nav>",
    r"<script.*?</script>",
    # a sheet prints a column's heading once, not in each cell
    r'<span class="column">.*?</span>\s*(?=<span class="(?:words|figure))',
    # what a drawing is called and shows is read out, not printed
    r"<(title|desc) id.*?</\1>",
)


def squeezed(text: str) -> str:
    """Without spaces, and without places to break."""
    return re.sub("[\\s\u200b\u00ad]+", "", text)


def figures_of(marked: str) -> Counter[str]:
    """How often a page prints each measurement's figure; a part's title is none.

    Args:
        marked: the page with its marks; origins that are no measurement's are passed over.
    """
    body = marked.partition("<body")[2].partition(">")[2]
    for unseen in UNSEEN:
        body = re.sub(unseen, " ", body, flags=re.DOTALL)
    text = unescape(re.sub("<[^>]*>", "", body))
    return Counter(
        squeezed(one.text)
        for one in spans(text)[1]
        if ":" not in one.name
        and not one.name.endswith(".title")
        and any(map(str.isdigit, one.text))
    )


def _letters(one: Any) -> Iterator[LTChar]:
    if isinstance(one, LTChar):
        yield one
    elif isinstance(one, LTContainer):
        for inner in one:
            yield from _letters(inner)


def set_in(pdf: bytes, least: float) -> str:
    """All that a PDF sets in letters of so many points or more, ``|`` where something is between.

    In the order in which the file has it. pdfminer tells the height of a letter's box, which is the
    type size.
    """
    out = []
    for page in extract_pages(io.BytesIO(pdf), laparams=None):
        before: LTChar | None = None
        for letter in _letters(page):
            if not letter.get_text().strip():
                continue
            if letter.size < least - 1e-3:
                before = None
                out.append("|")
                continue
            if before is not None and (
                abs(letter.size - before.size) > 0.1
                or abs(letter.y0 - before.y0) > 0.5
                or not -0.5 <= (letter.x0 - before.x1) / letter.size <= 0.35
            ):
                out.append("|")
            out.append(letter.get_text())
            before = letter
        out.append("|")
    return squeezed(re.sub(r"\|+", "|", "".join(out)))


def count(figure: str, text: str) -> int:
    """How often a figure stands in a text from ``set_in``, its words on one line or several."""
    signs = r"\|?".join(re.escape(sign) for sign in figure)
    ends = r"(?![\d.,/⁄]*\d)" if figure[-1].isdigit() else ""
    return len(re.findall(rf"(?<![\d.,/⁄]){signs}{ends}", text))


def too_small(marked: str, pdf: bytes, least: float) -> dict[str, tuple[int, int]]:
    """Figures that a page prints more often than its PDF sets them so large: both counts."""
    large = set_in(pdf, least)
    return {
        figure: (wanted, found)
        for figure, wanted in figures_of(marked).items()
        if (found := count(figure, large)) < wanted
    }
