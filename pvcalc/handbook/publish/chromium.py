"""Where this machine keeps Chromium: the bound book and the browser tests ask here."""

import os
import shutil
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def chromium_path() -> str:
    """Path of the machine's Chromium, or ""; PVCALC_CHROMIUM names another, and an absent one counts as none."""
    named = os.environ.get("PVCALC_CHROMIUM", "")
    if named:
        return named if Path(named).exists() else ""
    return next((path for path in map(shutil.which, NAMES) if path), "")
