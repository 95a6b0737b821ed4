"""Cuts the text face, two weights, to the letters of a British handbook.

A picture's labels and a printed line are as wide as their letters: with the reader's own system face a label that fits
here is cut there. So the site ships one face (SIL Open Font License 1.1). Static files, for Chromium prints a variable
font as drawings and not as text. What the face lacks (arrows, ticks, ≥) falls back to the system's.
"""

import shutil
from pathlib import Path

from fontTools import subset

from pvcalc.handbook.engine.process import FOLDER, PACKAGES

SOURCE = PACKAGES / "@fontsource" / "source-sans-3"
BUILT = FOLDER / "built"
WEIGHTS = (400, 700)
LICENCE = "text-font-licence.txt"
RANGES = [(0x20, 0x7E), (0xA0, 0xFF), (0x2009, 0x200A), (0x2010, 0x2026), (0x202F, 0x2033), (0x20AC, 0x20AC),
          (0x2212, 0x2212), (0x2070, 0x2089), (0x152, 0x153)]


def name(weight: int) -> str:
    """File name of one weight in the site's `fonts/`."""
    return f"text-{weight}.woff2"


def write() -> None:
    """Write both weights and the licence into `engine/built`."""
    BUILT.mkdir(exist_ok=True)
    for weight in WEIGHTS:
        options = subset.Options()
        options.flavor = "woff2"
        options.hinting = False
        options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
        options.recalc_timestamp = False
        options.name_IDs = [0, 13, 14]  # the licence keeps the face's own name for the whole face
        font = subset.load_font(str(SOURCE / "files" / f"source-sans-3-latin-{weight}-normal.woff2"), options)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes={code for first, last in RANGES for code in range(first, last + 1)})
        cutter.subset(font)
        subset.save_font(font, str(BUILT / name(weight)), options)
    shutil.copyfile(SOURCE / "LICENSE", BUILT / LICENCE)


def publish(site: Path) -> None:
    """Put both weights and the licence into a built site."""
    if not (BUILT / LICENCE).exists():
        write()
    (site / "fonts").mkdir(exist_ok=True)
    for part in [*map(name, WEIGHTS), LICENCE]:
        shutil.copyfile(BUILT / part, site / "fonts" / part)


if __name__ == "__main__":
    write()
