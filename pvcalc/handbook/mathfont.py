"""Cuts the math font down to what formulas here can contain.

Without a font that carries a MATH table, Chromium and phones draw no radical sign at all: a formula that is
wrong without looking wrong. The whole font weighs 400 kB, this cut about 40 kB. `python -m pvcalc.handbook.mathfont`
writes it; the site publishes it with its licence (SIL Open Font License 1.1) under a name of its own.
"""

import shutil

from fontTools import subset

from pvcalc.handbook.engine import FOLDER, PACKAGES

SOURCE = PACKAGES / "@fontsource" / "stix-two-math"
BUILT = FOLDER / "built"
FONT = BUILT / "math.woff2"
LICENCE = BUILT / "math-font-licence.txt"

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


def characters() -> set[int]:
    """Every character the cut font keeps; a test holds the site's formulas against it."""
    kept = {ord(sign) for sign in SIGNS}
    for first, last in RANGES:
        kept.update(range(first, last + 1))
    return kept


def write() -> None:
    """Write the cut font and its licence into `engine/built`."""
    options = subset.Options()
    options.flavor = "woff2"
    options.hinting = False
    options.layout_features = ["*"]  # script sizes and flat accents of math layout
    options.recalc_timestamp = False
    options.notdef_outline = True
    font = subset.load_font(str(SOURCE / "files" / "stix-two-math-latin-400-normal.woff2"), options)
    cut = subset.Subsetter(options)
    cut.populate(unicodes=characters())
    cut.subset(font)
    BUILT.mkdir(exist_ok=True)
    subset.save_font(font, str(FONT), options)
    shutil.copyfile(SOURCE / "LICENSE", LICENCE)


if __name__ == "__main__":
    write()
