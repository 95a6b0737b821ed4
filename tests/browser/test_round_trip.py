"""One case all the way: plan, report, row, the unit's own counts for the family, and the audit of that row; nothing is sent."""

from playwright.sync_api import expect

from tests.browser.test_audit_page import choose
from tests.browser.test_plan_page import computed, type_case

CASE = {"age_years": 8, "height_cm": 127, "weight_kg": 25.5, "valve": "domed", "rv_systolic_mmhg": 80, "pa_systolic_mmhg": 18, "rvot_systolic_mmhg": 78,
        "after_balloon_mm": 20, "after_rv_systolic_mmhg": 36, "after_rvot_systolic_mmhg": 34, "after_pa_systolic_mmhg": 22, "after_event_level": "none",
        "after_died": "no", "after_pulmonary_regurgitation": "mild"}


def written(page, kind, label):
    """Ask for one paper and read it."""
    page.evaluate("document.querySelector('.plan__papers').open = true")
    page.get_by_role("button", name=label).click()
    place = page.locator(f"pre[data-paper={kind}]")
    place.wait_for(timeout=60_000)
    return place.inner_text()


def test_plan_report_row_own_counts_and_audit(handbook, visit):
    with visit(handbook, "phone-light") as seen:
        page = seen.open("plan.html").page
        sent = []
        page.on("request", lambda request: sent.append(request.post_data) if request.post_data else None)
        type_case(seen, CASE)
        computed(seen)
        assert "Step at the valve 12 mmHg, below it 2 mmHg" in page.inner_text(".plan__sheet[data-sheet='1'] [data-part=after]")
        report = written(page, "report", "Procedure report")
        assert "Balloon 20 mm." in report and "Weight 25.5 kg, typed." in report and "Fluoroscopy: not entered." in report
        page.context.set_offline(True)  # what was asked for once is written again without a network
        assert written(page, "letter", "Letter").startswith("Dear colleague,")
        assert written(page, "outline", "Outline to teach from").startswith("OUTLINE OF A CASE")
        assert seen.too_wide() == 0
        page.get_by_role("button", name="Row of the audit file").click()
        page.locator(".plan__written .try__fault").first.wait_for(timeout=60_000)
        page.fill("#plan-row-attempt", "A-1")
        page.fill("#plan-row-date", "2026-03-31")
        row = written(page, "row", "Row of the audit file")
        page.context.set_offline(False)
        # The family's sheet takes the same row as the department's own counts, and holds nothing of the patient.
        file = {"name": "attempt.csv", "mimeType": "text/csv", "buffer": row.encode()}
        page.locator("#plan-own-file").set_input_files(file)
        expect(page.locator("#plan-own_deaths_cases")).to_have_value("1", timeout=60_000)
        computed(seen)
        page.click(".plan__opener:has-text('For the family')")
        family = page.inner_text(".plan__sheet[data-sheet='3']")
        assert "Here: 0 of 1 died within 30 days" in family and "0 of 1 had a valve that leaked" in family and "in 1000" in family
        assert "25.5" not in family and "127" not in family and "Entered" not in family
        page = seen.open("audit-your-file.html").page
        assert choose(page, row.encode()) == "Done: 1 attempts counted."
        assert sent == [] and seen.troubles == []
