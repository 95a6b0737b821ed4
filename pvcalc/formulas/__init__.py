"""Formulas of the clinic: one source, one function. They rest on the core alone."""
