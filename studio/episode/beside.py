"""Files that studio keeps beside a design: what they end in, and how one is read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from studio.design.reading import WORKSHOP_FILE
from studio.errors import BadInput
from studio.language import FIRST, tags

TIMES, WORDS, PLACES = ".times.yaml", ".words.yaml", ".places.yaml"
"""When things are said, how words are said, where cards stand."""

PUBLISHED = ".published.yaml"
"""What viewers were told."""

TEXTS = tuple(f".{tag}.yaml" for tag in tags() if tag != FIRST)
"""Texts in another language, beside the workshop's file too."""

ENDINGS = (TIMES, WORDS, PLACES, PUBLISHED, *TEXTS)
"""Files beside a design that end like one and are none."""

Content = TypeVar("Content")


def design_files(folder: Path) -> list[Path]:
    """The designs in a folder, by name: neither the workshop's file nor what lies beside a design.

    Args: folder.
    """
    return [path for path in sorted(folder.glob("*.yaml")) if is_design(path)]


def is_design(path: Path) -> bool:
    """Whether a file is a design by its name.

    >>> is_design(Path("globe.yaml")), is_design(Path("globe.places.yaml"))
    (True, False)
    """
    return path.name != WORKSHOP_FILE and not path.name.endswith(ENDINGS)


def read_beside(
    path: Path, content: Callable[[Any], Content], kind: str, write: str
) -> Content | None:
    """What a file beside a design holds; None when there is none.

    Args:
        path: the file.
        content: makes it of the file's tree, in which all values are texts; raises one of
            ValueError, KeyError, TypeError and AttributeError where the tree is another.
        kind: what file it is, and who writes it, for the message.
        write: what to do about one that is not.

    Raises:
        BadInput: the file cannot be read, or is another kind of file.
    """
    import yaml

    if not path.is_file():
        return None
    try:
        text = path.read_text(encoding="utf-8-sig")
        loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
        return content(yaml.load(text, Loader=loader))
    except (OSError, ValueError, yaml.YAMLError, KeyError, TypeError, AttributeError) as error:
        raise BadInput.of(f"this is not {kind}", write, file=path) from error
