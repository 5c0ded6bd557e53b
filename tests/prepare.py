"""Sets up what the tests need beyond Python packages: a browser, for the pages.

On Debian as root it installs what is lacking; elsewhere it names the one line to type.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

NEEDED = {"chromium": ("chromium", "chromium-browser", "google-chrome")}
"""Debian package: any of these programs will do."""


def lacking() -> list[str]:
    return [
        package
        for package, programs in NEEDED.items()
        if not any(shutil.which(program) for program in programs)
    ]


def main() -> int:
    packages = lacking()
    if not packages:
        return 0
    line = f"apt-get update && apt-get install -y --no-install-recommends {' '.join(packages)}"
    if not (Path("/etc/debian_version").exists() and os.geteuid() == 0):
        print(f"the tests need {', '.join(packages)}; as root on Debian: {line}", file=sys.stderr)
        return 1
    quiet = {
        "stdout": subprocess.DEVNULL,
        "env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
    }
    return subprocess.run(["bash", "-c", line], check=False, **quiet).returncode


if __name__ == "__main__":
    sys.exit(main())
