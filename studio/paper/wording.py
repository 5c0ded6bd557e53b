"""The tool's own words in templates: ``{% trans %}`` and ``_()`` of Jinja's i18n extension.

Names in a message are filled in by plain replacement, not by Python's ``%``: a look of a turner's
own may come from a stranger, and a format can ask for a text without end.
"""

from __future__ import annotations

import re
from typing import Any

from jinja2 import Environment, pass_context
from jinja2.exceptions import SecurityError
from jinja2.runtime import Context
from markupsafe import Markup, escape

from studio.language import words_for

EXTENSION = "jinja2.ext.i18n"

MOST_SIGNS = 1_000_000
"""A text filled in is no longer than that (ours; the longest of ours has a few hundred)."""

_NAME = re.compile(r"%\((\w+)\)s|%%")


@pass_context
def gettext(context: Context, message: str, /, **values: Any) -> str:
    """A message in the language that holds, its ``%(names)s`` replaced."""
    return _filled(context, words_for(str(message)), values)


@pass_context
def pgettext(context: Context, meaning: str, message: str, /, **values: Any) -> str:
    """A message that has two meanings, in the one that is named."""
    return _filled(context, words_for(str(message), str(meaning)), values)


@pass_context
def ngettext(context: Context, one: str, many: str, num: int, /, **values: Any) -> str:
    """A message that counts."""
    return _filled(context, words_for(str(one), many=str(many), count=num), {"num": num, **values})


WORDING = {"gettext": gettext, "_": gettext, "pgettext": pgettext, "ngettext": ngettext}
"""What templates call, by name."""


def worded(environment: Environment) -> None:
    """Let the environment's templates say the tool's words."""
    environment.add_extension(EXTENSION)
    environment.newstyle_gettext = True  # type: ignore[attr-defined]
    environment.globals.update(WORDING)


def _filled(context: Context, message: str, values: dict[str, Any]) -> str:
    is_page = context.eval_ctx.autoescape

    def value(match: re.Match[str]) -> str:
        if not match[1]:
            return "%"
        return str(escape(values[match[1]])) if is_page else str(values[match[1]])

    text = _NAME.sub(value, message)
    if len(text) > MOST_SIGNS:
        raise SecurityError("a text of too many signs")
    return Markup(text) if is_page else text
