"""Cuts the math font down to the signs that the handbook's formulas are drawn with.

Without a font that carries a MATH table, Chromium and phones draw no radical sign at all: a formula that is
wrong without looking wrong. The whole font weighs 400 kB; cut to all of Latin, Greek and the usual signs it
weighs 36 kB, which is what a theme without formulas of its own gets (`python -m pvcalc.handbook.publish.mathfont`). The
site gets what its pages use, 15 kB, with the licence (SIL Open Font License 1.1), under a name of its own.
"""

import hashlib
import html
import os
import re
import shutil
import tempfile
import unicodedata
from pathlib import Path

from fontTools import subset

from pvcalc.handbook.engine.process import FOLDER, PACKAGES

SOURCE = PACKAGES / "@fontsource" / "stix-two-math"
WHOLE = SOURCE / "files" / "stix-two-math-latin-400-normal.woff2"
BUILT = FOLDER / "built"
FONT = BUILT / "math.woff2"
LICENCE = BUILT / "math-font-licence.txt"
CUTS = BUILT / "cuts"

RANGES = [
    (0x0020, 0x007E), (0x00A0, 0x00FF),    # Latin
    (0x0391, 0x03C9),                      # Greek
    (0x2009, 0x2033), (0x202F, 0x202F),    # spaces, dashes, primes
    (0x2061, 0x2064),                      # invisible operators of MathML
    (0x2190, 0x2194),                      # arrows
    (0x1D434, 0x1D467),                    # italic Latin, as MathML writes a one-letter name
    (0x1D6E2, 0x1D71B),                    # italic Greek
]
SIGNS = "ϕϵℎℓ∂∆∇∏∑−∓∕∗∘√∛∝∞∠∫≈≠≡≤≥≪≫⋅⌈⌉⌊⌋⟨⟩‾ˆ˜¯"

MATH = re.compile(r"<math\b.*?</math>", re.S)
# What a browser draws in place of what is written: a one-letter name in italics, a root's sign. Of two italics of one
# letter the first is its own, the second of a variant of it (ϑ of θ).
ITALIC = {unicodedata.normalize("NFKC", chr(code)): code for first, last in reversed(RANGES[-2:])
          for code in range(last, first - 1, -1) if unicodedata.category(chr(code)) != "Cn"} | {"h": ord("ℎ")}
ROOTS = ("<msqrt", "<mroot")


def characters() -> set[int]:
    """Every character of a font for any formula."""
    kept = {ord(sign) for sign in SIGNS}
    for first, last in RANGES:
        kept.update(range(first, last + 1))
    return kept


def drawn_in(page: str) -> set[int]:
    """Every character that the formulas of a page of HTML are drawn with."""
    found = set()
    for formula in MATH.findall(page):
        signs = html.unescape(re.sub(r"<[^>]*>", "", formula))
        found |= {ord(sign) for sign in signs if sign >= " "}
        names = {html.unescape(name) for name in re.findall(r"<mi>([^<]*)</mi>", formula)}
        found |= {ITALIC[name] for name in names if name in ITALIC}
        found |= {ord("√")} if any(root in formula for root in ROOTS) else set()
    return found


def cut(kept: set[int], path: Path) -> None:
    """Write the font with only these characters and what they are stretched to."""
    options = subset.Options()
    options.flavor = "woff2"
    options.hinting = False
    options.layout_features = ["ccmp", "dtls", "flac", "ssty"]  # script sizes and flat accents of math layout; no kerning
    options.recalc_timestamp = False
    options.notdef_outline = True
    font = subset.load_font(str(WHOLE), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=kept)
    cutter.subset(font)
    subset.save_font(font, str(path), options)


def write() -> None:
    """Write a font for any formula and its licence into `engine/built`."""
    BUILT.mkdir(exist_ok=True)
    cut(characters(), FONT)
    shutil.copyfile(SOURCE / "LICENSE", LICENCE)


def publish(site: Path) -> None:
    """Write the font of a built site, cut to the formulas of its pages, and the licence."""
    kept = set()
    for page in site.rglob("*.html"):
        kept |= drawn_in(page.read_text(encoding="utf-8"))
    fonts = site / "fonts"
    fonts.mkdir(exist_ok=True)
    shutil.copyfile(_kept_cut(kept or {ord(" ")}), fonts / FONT.name)
    shutil.copyfile(SOURCE / "LICENSE", fonts / LICENCE.name)


def _kept_cut(kept: set[int]) -> Path:
    """The font with only these characters, cut now or by an earlier build: cutting takes longer than all formulas together."""
    named = hashlib.sha256(WHOLE.read_bytes() + repr(sorted(kept)).encode()).hexdigest()[:12]
    path = CUTS / f"{named}.woff2"
    if not path.exists():
        CUTS.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=CUTS) as folder:  # two builds at once each write their own
            cut(kept, Path(folder) / path.name)
            os.replace(Path(folder) / path.name, path)
    return path


if __name__ == "__main__":
    write()
