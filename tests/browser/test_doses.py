"""Doses by weight as they are used: typed once, read on a telephone, printed for the trolley."""

from io import BytesIO

from pypdf import PdfReader

from tests.browser.test_drills import letters

TWO_SCREENS_PX, SMALLEST_PT = 2 * 740, 9
ROWS = """(place) => Object.fromEntries([...document.querySelectorAll(place + ' .doses__output [data-row]')]
  .map((row) => [row.dataset.row, row.querySelector('.doses__give, .doses__rule').textContent.replace(/[\\u00a0\\u202f]/g, ' ').trim()]))"""


def typed(seen, weight, age, unit="years", at=0):
    """Weight and age into one form of the page, and what stands beside it when it has answered."""
    page = seen.page
    if not page.locator(f"#dose-{at}-weight_kg").is_visible():
        page.locator(".doses__change").nth(at).click()
    before = page.locator(".doses__note").nth(at).inner_text()
    page.locator(f"#dose-{at}-age").fill(age)
    page.locator(f"#dose-{at}-unit").select_option(unit)
    page.locator(f"#dose-{at}-weight_kg").fill(weight)
    page.wait_for_function("([at, before]) => !['', before].includes(document.querySelectorAll('.doses__note')[at].textContent.replace(/\\s+/g, ' ').trim())",
                           arg=[at, " ".join(before.split())], timeout=60_000)
    return page.locator(".doses__note").nth(at).inner_text()


def test_the_sheet_of_the_first_minutes_is_two_screens_of_a_phone_and_prints_four_sheets(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("doses.html")
        for weight, age, unit in (("1.2", "3", "days"), ("12", "2", "years"), ("45", "12", "years"), ("83", "40", "years")):
            assert weight in typed(seen, weight, age, unit)
            first = seen.page.locator('.doses__output .doses__sheet[data-sheet="1"]')
            first.wait_for()
            assert first.bounding_box()["height"] <= TWO_SCREENS_PX, weight
            assert seen.too_wide() == 0
        # A man of 40: 1 mg whatever the weight, from a syringe of 0.1 mg/mL.
        assert seen.page.evaluate(ROWS, "")["adrenaline_arrest"] == "10 mL"
        for paper in ("A4", "Letter"):
            sheets = PdfReader(BytesIO(seen.page.pdf(format=paper))).pages
            assert len(sheets) == 4, paper
            for sheet in sheets:
                words = " ".join(sheet.extract_text().split())
                assert "83 kg" in words and "octor" in words and "harmacist" in words and "Edition" in words
                assert [(size, text) for size, text in letters(sheet) if size < SMALLEST_PT - 0.05] == [], paper


def test_nothing_stays_beside_a_weight_that_is_no_weight(visit, handbook):
    with visit(handbook, "phone-dark") as seen:
        seen.open("doses.html")
        typed(seen, "12", "2")
        seen.page.locator(".doses__output [data-row]").first.wait_for()
        for nonsense in ("twelve", "1200", "-4", "12 lb"):
            said = typed(seen, nonsense, "2")
            assert "eight" in said and seen.page.evaluate(ROWS, "") == {}, nonsense
        assert "pounds" in typed(seen, "130", "50")


def test_a_weight_is_typed_once_for_all_the_sheets_of_a_page_and_the_drill_keeps_its_steps(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("complications.html")
        forms = seen.page.locator(".doses__bar").count()
        assert forms >= 2
        typed(seen, "12", "2")
        weights = seen.page.locator(".doses__bar input[id$=weight_kg]")
        assert {weights.nth(at).input_value() for at in range(forms)} == {"12"}
        seen.open("drills/arrest.html")
        steps = seen.page.locator(".drill ol > li").count()
        typed(seen, "12", "2")
        seen.page.locator(".drill .doses__output [data-row]").first.wait_for()
        # 0.01 mg/kg of 12 kg is 0.12 mg; 4 J/kg is 48 J, and the machine has 50.
        rows = seen.page.evaluate(ROWS, ".drill")
        assert rows["adrenaline_arrest"].startswith("1.2 mL of 0.1 mg/mL = 0.12 mg") and rows["shock"].startswith("48 J: set 50 J")
        assert seen.page.locator(".drill ol > li").count() == steps
