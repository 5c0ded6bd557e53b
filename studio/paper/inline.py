"""Scripts and data that stand inside a page, and the policy that lets those alone run.

A page's scripts are ours, file by file; what a design says reaches them as data, in which no sign
can end the element that it stands in.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable
from typing import Any

from markupsafe import Markup

from studio.language import tr
from studio.paper.javascript import UNSAFE, value_text
from studio.paper.rendering import style
from studio.paper.size_box import SAID


def scripts(*parts: str) -> Markup:
    """The text of one script element: names of scripts under ``templates/``, or what
    :mod:`studio.paper.javascript` made, one behind another."""
    each = (in_language(str(style(one)), SAID) if one.endswith(".js") else one for one in parts)
    return Markup("\n" + "\n".join(each))


def in_language(script: str, said: Iterable[str]) -> str:
    """A script of ours with what it says in the page's language.

    Args:
        script: holds each of its texts between quotation marks.
        said: those texts.
    """
    for words in said:
        script = script.replace(f'"{words}"', value_text(str(tr(words))))
    return script


def json_text(tree: Any) -> Markup:
    """``tree`` as JSON (RFC 8259) that may stand in a script element.

    Signs by which a text could leave the element are written as escapes.

    >>> print(json_text({"a": "</script>"}))
    {"a":"\\u003c/script\\u003e"}
    """
    text = json.dumps(tree, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Markup(text.translate(UNSAFE))


def policy(script: str) -> Markup:
    """What the page may load beyond its styles: files beside it, and this one script.

    Args:
        script: the whole text of the script element (W3C, Content Security Policy Level 3).
    """
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    return Markup(f"img-src 'self'; media-src 'self'; script-src 'sha256-{digest}'; ")
