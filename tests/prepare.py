"""Sets up what the tests need beyond Python packages: a browser and a PDF reader, for the pages,
and a person's reading, for the voice.

On Debian as root it installs what is lacking; elsewhere it names the one line to type.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
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


def main() -> int:
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
