"""Generated reference pages, by name; a page of kb/reference/ is a title and one fence that names it."""

from pvcalc.handbook.audits import columns_html, form_html
from pvcalc.handbook.reference.age import age_page
from pvcalc.handbook.reference.data import series_page, series_table, settings_page, settings_table, sources_page
from pvcalc.handbook.reference.expected import expected_page
from pvcalc.handbook.reference.faults import faults_page
from pvcalc.handbook.reference.formulas import formulas_page
from pvcalc.handbook.reference.hazards import hazards_page
from pvcalc.handbook.reference.mutants import mutants_page
from pvcalc.handbook.reference.provenance import provenance_page
from pvcalc.handbook.reference.rubric import rubric_page
from pvcalc.handbook.reference.signatures import page_status, signatures_page
from pvcalc.handbook.reference.tables import tables_page
from pvcalc.handbook.reference.units import units_page
from pvcalc.handbook.reference.verification import printed_table, verification_page
from pvcalc.handbook.reference.worksheet import worksheet_page

PAGES = {"formulas": formulas_page, "verification": verification_page, "sources": sources_page,
         "settings": settings_page, "series": series_page, "units": units_page, "tables": tables_page,
         "provenance": provenance_page, "signatures": signatures_page, "worksheet": worksheet_page,
         "hazards": hazards_page, "faults": faults_page, "age": age_page, "expected": expected_page, "mutants": mutants_page, "rubric": rubric_page,
         "audit_columns": columns_html, "audit_form": form_html}

__all__ = ["PAGES", "page_status", "printed_table", "series_table", "settings_table"]
