"""Whole situations in each document's own words, choices included; the answers come from its text and not from our tables.

A line is (table, inputs, answer, row). A line of words is (table, choice, the other inputs, {word: (answer, row)}) and names
every word of the choice. A line of open ones is (table, inputs, answers still possible, inputs that would settle it).
A line of cautions is (table, inputs, a piece of each caution that is shown).
"""

from tests.documents import situations_after as after
from tests.documents import situations_lab as lab
from tests.documents import situations_more as more
from tests.documents import situations_treat as treat

W8 = treat.W8
WORDS = (treat.READING_WORDS + treat.TREAT_WORDS + treat.SURGERY_WORDS + lab.LEVEL_WORDS + lab.SIZING_WORDS + lab.RESIDUAL_WORDS + lab.DRILL_WORDS
         + more.REGURGITATION_WORDS + more.REPLACEMENT_WORDS
         + after.VISITS_WORDS + after.SPORT_WORDS + after.ENDOCARDITIS_WORDS + after.PREGNANCY_WORDS + after.QUOTED_WORDS)
SITUATIONS = (treat.READING + treat.TREAT + treat.SURGERY + lab.LEVEL + lab.SIZING + lab.RESIDUAL + lab.DRILL + more.REGURGITATION + more.REPLACEMENT
              + after.VISITS + after.SPORT + after.PREGNANCY
              + [(table, {**others, choice: word}, *expected) for table, choice, others, words in WORDS for word, expected in words.items()])
LEAK = dict.fromkeys(("none", "mild", "moderate"), ())
CAUTIONS = [
    *[("severity_acc_2025", {"age_years": 40, "doppler_peak_mmhg": 35, "rv_function": word}, pieces)
      for word, pieces in {"normal": (), "reduced": ("under-called",), "falling": ("under-called",)}.items()],
    *[("treat_aha_2018", dict(W8, valve=None, pulmonary_regurgitation=word), pieces)
      for word, pieces in {**LEAK, "severe": ("valve team",)}.items()],
    *[("treat_acc_2008", dict(W8, pulmonary_regurgitation=word), pieces) for word, pieces in {**LEAK, "severe": ("valve team",)}.items()],
    ("treat_acc_2008", dict(W8, symptoms="no", pulmonary_regurgitation="severe"), ()),
    *[("treat_esc_2020", {"age_years": 30, "rv_function": word}, pieces)
      for word, pieces in {"normal": (), "reduced": ("earlier study",), "falling": ()}.items()],
    # a child left with 40 to 50 meets the indication again; at or above systemic pressure the surgeon is called
    *[("residual_action", {"valve_gradient_mmhg": left}, pieces)
      for left, pieces in {39.9: (), 40: ("meets the paediatric indication",), 49.9: ("meets the paediatric indication",), 50: ()}.items()],
    *[("residual_action", {"rv_systemic_ratio": ratio}, pieces) for ratio, pieces in {0.999: (), 1: ("Call the surgeon",)}.items()],
]
OPEN = treat.READING_OPEN + lab.LEVEL_OPEN + lab.RESIDUAL_OPEN + lab.DRILL_OPEN + more.REPLACEMENT_OPEN + after.SPORT_OPEN + after.PREGNANCY_OPEN
