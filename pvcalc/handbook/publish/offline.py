"""What lets the handbook open without a network: a list of every file with its digest, and the service worker."""

import hashlib
import json
import re
from datetime import datetime, timezone
from pathlib import Path

from pvcalc.handbook.engine.process import FOLDER

WORKER = "service-worker.js"
LEFT_OUT = (WORKER, "sitemap.xml", "sitemap.xml.gz")


def listing(site: Path) -> dict[str, str]:
    """Address (with its version, as pages ask for it) -> sha256 of every file of the built site."""
    versions = _versions(site)
    listed = {}
    for path in sorted(site.rglob("*")):
        name = path.relative_to(site).as_posix()
        if path.is_file() and name not in LEFT_OUT and not name.startswith("precache-"):
            listed[name + versions.get(name, "")] = hashlib.sha256(path.read_bytes()).hexdigest()
    return listed


def _versions(site):
    """File name -> "?v=…" for the style sheets and scripts that any page asks for by version."""
    found = {}
    for page in site.rglob("*.html"):
        found |= re.findall(r'(?:href|src)="(?:\.{0,2}/)*((?:css|js)/[\w.-]+)(\?v=\w+)"', page.read_text(encoding="utf-8"))
    return found


def write(site: Path, when: int) -> str:
    """Write the list and the worker into the built site.

    Args:
        site: folder of the built site; when: time of the edition in seconds since 1970, shown with a saved copy.
    Returns the identifier of the edition: a digest over all its files.
    """
    listed = listing(site)
    text = json.dumps(listed, sort_keys=True, separators=(",", ":"))
    edition = hashlib.sha256(text.encode()).hexdigest()[:12]
    (site / f"precache-{edition}.json").write_text(text, encoding="utf-8", newline="\n")
    day = datetime.fromtimestamp(when, timezone.utc).date().isoformat()
    worker = (FOLDER / WORKER).read_text(encoding="utf-8").replace("@EDITION@", edition).replace("@SAVED_ON@", day)
    (site / WORKER).write_text(worker, encoding="utf-8", newline="\n")
    return edition
