"""Generated reference pages, by name; a page of kb/reference/ is a title and one fence that names it."""

from pvcalc.handbook.authoring.audit_fence import columns_html, form_html
from pvcalc.handbook.reference.age_page import age_page
from pvcalc.handbook.reference.entries_page import (
    series_page, series_table, settings_page, settings_table, sources_page,
)
from pvcalc.handbook.reference.expected_page import expected_page
from pvcalc.handbook.reference.faults_page import faults_page
from pvcalc.handbook.reference.formulas_page import formulas_page
from pvcalc.handbook.reference.hazards_page import hazards_page
from pvcalc.handbook.reference.mutants_page import mutants_page
from pvcalc.handbook.reference.provenance_page import provenance_page
from pvcalc.handbook.reference.rubric_page import rubric_page
from pvcalc.handbook.reference.signatures_page import page_status, signatures_page
from pvcalc.handbook.reference.tables_page import tables_page
from pvcalc.handbook.reference.units_page import units_page
from pvcalc.handbook.reference.verification_page import printed_table, verification_page
from pvcalc.handbook.reference.worksheet_page import worksheet_page

PAGES = {"formulas": formulas_page, "verification": verification_page, "sources": sources_page,
         "settings": settings_page, "series": series_page, "units": units_page, "tables": tables_page,
         "provenance": provenance_page, "signatures": signatures_page, "worksheet": worksheet_page,
         "hazards": hazards_page, "faults": faults_page, "age": age_page, "expected": expected_page, "mutants": mutants_page, "rubric": rubric_page,
         "audit_columns": columns_html, "audit_form": form_html}

__all__ = ["PAGES", "page_status", "printed_table", "series_table", "settings_table"]
