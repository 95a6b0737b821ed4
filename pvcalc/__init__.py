"""Formulas, decision tables and drawings behind the handbook on relieving pulmonary valve stenosis."""
