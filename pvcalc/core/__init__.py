"""Numbers, units, formulas and refusals: what every room stands on. It knows no medicine."""
