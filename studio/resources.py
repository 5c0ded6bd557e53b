"""Where the files that travel with the package lie: shipped designs and overlay looks."""

from __future__ import annotations

from pathlib import Path


def shipped(folder: str) -> Path:
    """The folder ``designs`` or ``overlays`` as shipped.

    In a wheel they lie inside the package; in a checkout at the top level, where a person
    looks for them.

    Raises:
        FileNotFoundError: the installation is damaged.
    """
    package = Path(__file__).parent
    for place in (package / "shipped" / folder, package.parent / folder):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"the installation lacks its folder {folder!r}; install it again")
