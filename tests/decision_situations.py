"""Whole situations in each document's own words, choices included; the answers come from its text and not from our tables.

A line is (table, inputs, answer, row). A line of words is (table, choice, the other inputs, {word: (answer, row)}) and names
every word of the choice. A line of open ones is (table, inputs, answers still possible, inputs that would settle it).
"""

from tests import decision_situations_after as after
from tests import decision_situations_lab as lab
from tests import decision_situations_more as more
from tests import decision_situations_treat as treat

W8 = treat.W8
WORDS = (treat.TREAT_WORDS + treat.SURGERY_WORDS + lab.LEVEL_WORDS + lab.SIZING_WORDS + lab.RESIDUAL_WORDS + lab.DRILL_WORDS
         + more.REGURGITATION_WORDS + more.REPLACEMENT_WORDS
         + after.VISITS_WORDS + after.SPORT_WORDS + after.ENDOCARDITIS_WORDS + after.PREGNANCY_WORDS + after.QUOTED_WORDS)
SITUATIONS = (treat.TREAT + treat.SURGERY + lab.LEVEL + lab.SIZING + lab.RESIDUAL + lab.DRILL + more.REGURGITATION + more.REPLACEMENT
              + after.VISITS + after.SPORT + after.PREGNANCY
              + [(table, {**others, choice: word}, *expected) for table, choice, others, words in WORDS for word, expected in words.items()])
OPEN = lab.LEVEL_OPEN + lab.RESIDUAL_OPEN + lab.DRILL_OPEN + more.REPLACEMENT_OPEN + after.SPORT_OPEN + after.PREGNANCY_OPEN
