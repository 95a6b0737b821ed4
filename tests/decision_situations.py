"""Whole situations in each document's own words, choices included; the answers come from its text and not from our tables.

A line is (table, inputs, answer, row).
"""

from tests import decision_edges as first
from tests import decision_situations_lab as lab
from tests import decision_situations_more as more

W8 = {"age_years": 21, "symptoms": "yes", "valve": "domed", "doppler_peak_mmhg": 60, "pulmonary_regurgitation": "none"}

TREAT = [
    ("gradient_as_severity", {"age_days": 3}, "suppressed", "house:newborn"),
    ("gradient_as_severity", {"age_days": 200, "duct": "open"}, "suppressed", "house:newborn"),
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="severe"), "no", "A-I19:severe_regurgitation"),
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="moderate", cardiac_output="normal"), "silent", ""),
    ("treat_acc_2008", dict(W8, valve="dysplastic"), "may", "A-I17"),
    ("treat_acc_2008", dict(W8, valve="dysplastic", symptoms="no", doppler_peak_mmhg=61, pulmonary_regurgitation="severe"), "may", "A-I16"),
    ("treat_acc_2008", dict(W8, symptoms="no", doppler_peak_mmhg=40, cardiac_output="normal"), "no", "A-I18"),
    ("treat_acc_2008", dict(W8, symptoms="no", doppler_peak_mmhg=40, cardiac_output="reduced"), "silent", ""),
    ("treat_acc_2025", {}, "not_seen", ""),
    ("treat_esc_2020", dict(first.ESC, doppler_peak_mmhg=35, rv_function="falling"), "yes", "A-I11"),
    ("treat_esc_2020", dict(first.ESC, doppler_peak_mmhg=35, rv_function="reduced"), "silent", ""),
    ("treat_jcs_2011", dict(first.JCS, doppler_peak_mmhg=90, rv_function="reduced"), "silent", ""),
    ("treat_jcs_2011", dict(first.JCS, symptoms="no", doppler_peak_mmhg=35, double_chambered_rv="yes"), "yes", "A-I11:JCS"),
    ("treat_aha_2011_child", dict(first.CHILD_2011, doppler_peak_mmhg=20, critical_stenosis="yes"), "yes", "A-I50"),
    ("treat_aha_2011_child", dict(first.CHILD_2011, doppler_peak_mmhg=35, rv_function="reduced"), "yes", "A-I50"),
    ("treat_aha_2011_child", dict(first.CHILD_2011, doppler_peak_mmhg=45, valve="dysplastic"), "yes", "A-I51"),
    ("treat_aha_2011_atresia", {"rv_dependent_coronaries": "present", "anatomy_favourable": "yes"}, "no", "A-I53"),
    ("treat_manual_2025", {"symptoms": "yes", "severity": "moderate"}, "yes", "A-I24:symptoms"),
    ("treat_manual_2025", {"symptoms": "no", "severity": "moderate"}, "silent", ""),
    ("treat_trade", {"symptoms": "no", "valve": "dysplastic", "doppler_peak_mmhg": 90, "pulmonary_regurgitation": "none"}, "silent", ""),
]

SURGERY = [
    ("surgery_acc_2008", {"age_years": 30, "severity": "severe", "hypoplastic_annulus": "yes"}, "surgery", "A-I15:surgery"),
]

SITUATIONS = TREAT + SURGERY + lab.LEVEL + lab.SIZING + lab.RESIDUAL + more.REGURGITATION + more.REPLACEMENT + more.AFTERWARDS
