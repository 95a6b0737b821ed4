"""Says in one sentence, before any test runs, that Chromium is missing (`make check` asks first)."""

import os
import shutil
import sys
from pathlib import Path

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
NO_BROWSER = ("The browser tests need Chromium and none was found: install it (Debian: apt-get install chromium), "
              "name its path in PVCALC_CHROMIUM, or run `make check-fast`, which leaves them out.")


def chromium_path() -> str:
    """Path of the system's Chromium, or ""."""
    named = os.environ.get("PVCALC_CHROMIUM", "")
    if named:
        return named if Path(named).exists() else ""
    return next((path for path in map(shutil.which, BROWSERS) if path), "")


if __name__ == "__main__":
    sys.exit(0 if chromium_path() else NO_BROWSER)
