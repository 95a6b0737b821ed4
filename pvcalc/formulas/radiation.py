"""Kerma-area product: its two units and its share per body weight."""

from pvcalc.core.formula import formula, printed
from pvcalc.core.units import show_input

UGY_M2_PER_GY_CM2 = 100  # 1 Gy is 1 000 000 µGy and 1 cm² is a ten-thousandth of a m²


def _ask_low(inputs):
    if inputs["kap_ugy_m2"] < 10:
        return ("A product of " + show_input(inputs["kap_ugy_m2"])
                + " µGy·m² is very low: was it read in Gy·cm²? Then it is a hundred times more.")
    return ""


def _ask_high(inputs):
    if inputs["kap_gy_cm2"] > 100:
        return ("A product of " + show_input(inputs["kap_gy_cm2"])
                + " Gy·cm² is very high: was it read in µGy·m²? Then it is a hundred times less.")
    return ""


@formula("", seen="derived", asks=(_ask_low,), kap_ugy_m2=(1, 100000))
def kap_to_gy_cm2(*, kap_ugy_m2):
    r"""Kerma-area product from µGy·m² to Gy·cm².

    $K_{cm} = \frac{K_m}{100}$

    In words: divide by 100.

    Displays differ by maker and by setting: read the unit, not only the number. For two planes add the products.

    Args:
        kap_ugy_m2: product as displayed in µGy·m².
    Valid: 1 to 100 000 µGy·m², house limits.
    Raises: OutOfRange outside that range.
    Not for: mGy·cm² or cGy·cm²; 1 µGy·m² equals 10 mGy·cm² and 1 cGy·cm².
    Source: unit change.
    """
    return kap_ugy_m2 / UGY_M2_PER_GY_CM2


printed(kap_to_gy_cm2, "kap_sum_page", "field of 5 × 5 cm at 1 mGy, in mGy·cm²", answer="25", seen="second", fact="E-EW21", factor=1000,
        kap_ugy_m2=2.5)
printed(kap_to_gy_cm2, "cevallos2017", "median under 1 year, 249 µGy·m²", answer="2.49", seen="derived", kind="derived",
        fact="E-EL52", kap_ugy_m2=249)


@formula("", seen="derived", asks=(_ask_high,), kap_gy_cm2=(0.01, 1000))
def kap_to_ugy_m2(*, kap_gy_cm2):
    r"""Kerma-area product from Gy·cm² to µGy·m².

    $K_m = 100 K_{cm}$

    In words: multiply by 100.

    Args:
        kap_gy_cm2: product as displayed in Gy·cm².
    Valid: 0.01 to 1000 Gy·cm², house limits.
    Raises: OutOfRange outside that range.
    Not for: mGy·cm²; divide by 10 instead.
    Source: unit change.
    """
    return UGY_M2_PER_GY_CM2 * kap_gy_cm2


for _per_kg, _answer in ((0.41, "41"), (0.81, "81"), (0.56, "56"), (1.16, "116")):
    printed(kap_to_ugy_m2, "dose_paediatric2007", "mean or 90th centile per kg", answer=_answer, seen="derived", kind="derived",
            fact="E-EL58", kap_gy_cm2=_per_kg)


@formula("", seen="derived", asks=(_ask_low,), kap_ugy_m2=(1, 100000), weight_kg=(0.5, 250))
def kap_per_kg_ugy_m2(*, kap_ugy_m2, weight_kg):
    r"""Kerma-area product for each kilogram of body weight.

    $k = \frac{K}{w}$

    In words: product divided by body weight; this is how children of different size are compared.

    It is a quality figure of the laboratory, not the dose of a skin site. No worked example was found.

    Args:
        kap_ugy_m2: product of all planes together.
        weight_kg: body weight.
    Valid: product 1 to 100 000 µGy·m², weight 0.5 to 250 kg, house limits.
    Raises: OutOfRange outside these.
    Not for: a skin dose; use the air kerma at the reference point of each plane.
    Source: common practice.
    """
    return kap_ugy_m2 / weight_kg
