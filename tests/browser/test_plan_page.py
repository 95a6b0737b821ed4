"""The case plan typed on a phone: it gives the case's page, blanks at once, forgets, and prints its sheets."""

import json

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from pvcalc.handbook.authoring import dose_sheets
from pvcalc.handbook.data import case_files
from tests.browser.visits import ROOT, SCREENSHOTS, visiting

CASES = {"newborn": "newborn", "school_child": "school-child", "adult_two_balloons": "adult-two-balloons", "dysplastic": "dysplastic"}


def type_case(seen, inputs):
    """Type one case's inputs into the open form, field by field, as a reader would."""
    page = seen.page
    page.evaluate("document.querySelectorAll('.plan__group').forEach((group) => { group.open = true; })")
    for name, value in inputs.items():
        if isinstance(value, list):
            for number, record in enumerate(value, start=1):
                if number > 1:
                    page.click(f"[data-add={name}]")
                for key, part in record.items():
                    fill(page, f"#plan-{name}-{number}-{key}", part)
        else:
            fill(page, f"#plan-{name}", value)


def fill(page, selector, value):
    """Choose a word, or type a number with a decimal comma."""
    if page.evaluate("(selector) => document.querySelector(selector).tagName", selector) == "SELECT":
        page.select_option(selector, str(value))
    else:
        page.fill(selector, str(value).replace(".", ","))


def computed(seen):
    """Wait for the plan to stand on the page."""
    seen.page.wait_for_selector(".plan__sheet[data-sheet='3']", timeout=60000)


def told(page, root, part):
    """The lines of one part of a plan, as they read."""
    return page.evaluate("""([root, part]) => [...document.querySelectorAll(`${root} [data-part=${part}] > .plan__line`)]
        .map((line) => line.textContent.replace(/\\s+/g, ' ').trim())""", [root, part])


def cells(page, root, part):
    """Every cell of a part's tables, folded ones included."""
    return page.evaluate("""([root, part]) => [...document.querySelectorAll(`${root} [data-part=${part}] td`)]
        .map((cell) => cell.textContent.replace(/\\s+/g, ' ').trim())""", [root, part])


@pytest.fixture(scope="module", params=sorted(CASES))
def typed(request, browser, handbook):
    """One case typed on a phone and computed: its name, the visitor, and by part what the case's own page tells."""
    with visiting(browser, handbook, "phone-light") as seen:
        seen.open(f"cases/{CASES[request.param]}.html")
        parts = seen.page.evaluate("[...new Set([...document.querySelectorAll('.plan-case [data-part]')].map((part) => part.dataset.part))]")
        wanted = {part: (told(seen.page, ".plan-case", part), cells(seen.page, ".plan-case", part)) for part in parts}
        assert seen.too_wide() == 0
        seen.open("plan.html")
        type_case(seen, case_files.read_case(ROOT / case_files.CASES / f"{request.param}.yml"))
        computed(seen)
        yield request.param, seen, wanted


def test_a_case_typed_on_a_phone_gives_the_page_of_the_case(typed):
    case, seen, wanted = typed
    assert {"sizing", "treat", "follow_up"} <= set(wanted)
    for part, lines_and_cells in wanted.items():
        assert (told(seen.page, ".plan__output", part), cells(seen.page, ".plan__output", part)) == lines_and_cells, part
    assert seen.too_wide() == 0
    assert seen.small_targets() == []
    seen.picture(f"plan-{case}")
    text = seen.page.inner_text(".plan__output")
    assert "NaN" not in text and "undefined" not in text and "Infinity" not in text
    assert seen.troubles == []


def test_hz16_the_print_has_three_sheets_with_edition_build_inputs_and_the_operators_line(typed):
    case, seen, _ = typed
    stamps = seen.page.evaluate("[...document.querySelectorAll('.plan__sheet')].map((sheet) => sheet.textContent)")
    assert len(stamps) == 3
    for sheet in stamps:
        assert "Edition " in sheet and "build " in sheet and "No name, no number" in sheet and "____" in sheet
    assert "weight " in stamps[0] and "weight " in stamps[1] and "weight " not in stamps[2] and "Entered:" not in stamps[2]
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    for paper in ("A4", "Letter"):
        path = SCREENSHOTS / f"plan-{case}-{paper}.pdf"
        seen.page.pdf(path=path, format=paper, print_background=True)
        sheets = [" ".join(sheet.extract_text().split()) for sheet in PdfReader(path).pages]
        assert len(sheets) == 3 + len(dose_sheets.TITLES), paper
        doses = [sheet for sheet in sheets if "Void without date and two signatures" in sheet]
        assert len(doses) == len(dose_sheets.TITLES), paper
        for sheet in [sheet for sheet in sheets if sheet not in doses]:
            assert "Edition 1" in sheet and "Printed 20" in sheet and "not controlled" in sheet, paper
        for sheet in doses:
            assert "Edition 1" in sheet and "printed 20" in sheet and "Doctor" in sheet and "Pharmacist" in sheet, paper
    # Letters grow where a case leaves room (the longest leaves none), and shrink by a tenth at most.
    sizes = seen.page.evaluate("[...document.querySelectorAll('.plan__sheet')].map((sheet) => Number(sheet.style.getPropertyValue('--plan-fit')))")
    assert min(sizes) >= 0.9 and (max(sizes) > 1 or case == "adult_two_balloons")


def test_on_a_phone_the_plan_is_eight_screens_and_its_first_holds_what_the_hands_need(typed):
    case, seen, _ = typed
    page = seen.page
    page.evaluate("document.querySelectorAll('.plan__group').forEach((group, place) => { group.open = place === 0; })")
    width, height = page.evaluate("[innerWidth, innerHeight]")
    assert (width, height) == (360, 740)
    # Form, card, ten lines, misfits and what is folded; the page's own words about the plan follow below it.
    assert page.evaluate("document.querySelector('div.plan').getBoundingClientRect().height") <= 8 * height, case
    ends = page.evaluate("""() => { const end = document.querySelector('.plan__group:last-of-type').getBoundingClientRect().bottom;
        return Object.fromEntries(['balloon', 'contrast', 'stop'].map((key) => [key, document.querySelector(`.plan__key--${key}`).getBoundingClientRect().bottom - end])); }""")
    assert max(ends.values()) <= height, (case, ends)
    glance = seen.page.evaluate("document.querySelector('.plan__output [data-part=glance]').innerText")
    for key, line in (("balloon", "BALLOON "), ("contrast", "CONTRAST "), ("stop", "STOP: ")):
        words = page.inner_text(f".plan__key--{key}").split(" ", 1)[1]
        assert line + words in glance, "the card says nothing that the ten lines do not say"
    # One tap from a field to the plan, wherever the form is scrolled to.
    page.evaluate("scrollTo(0, 0); document.querySelector('#plan-weight_kg').scrollIntoView({block: 'center'})")
    assert page.evaluate("document.querySelector('.plan__strip').getBoundingClientRect().bottom <= innerHeight")
    page.click(".plan__strip")
    assert 0 <= page.evaluate("document.querySelector('.plan__first').getBoundingClientRect().top") < 100
    # Misfits stand open; a title opens its part and closes it.
    assert page.evaluate("[...document.querySelectorAll('.plan__output .plan__line--warn')].filter((line) => line.closest('[data-part=fit]')).every((line) => line.checkVisibility())")
    page.click(".plan__opener:has-text('Treat or not')")
    assert page.is_visible(".plan__output [data-part=treat]")
    page.click(".plan__opener:has-text('Treat or not')")
    assert not page.is_visible(".plan__output [data-part=treat]")


def test_at_390_the_ten_lines_of_the_school_child_take_a_screen_and_a_half(typed):
    case, seen, _ = typed
    if case != "school_child":
        return
    seen.page.set_viewport_size({"width": 390, "height": 844})
    taken = seen.page.evaluate("document.querySelector('.plan__output [data-part=glance]').getBoundingClientRect().height")
    seen.page.set_viewport_size({"width": 360, "height": 740})
    assert taken <= 1.5 * 844


# Twenty fields as they come, with the return key of a keypad from each to the next: the longest way is the empty fields between.
TWENTY = {
    "age_years": "8", "sex": "male", "height_cm": "127", "weight_kg": "25,5", "symptoms": "no", "syndrome": "none", "valve": "domed", "duct": "closed", "rv_function": "normal",
    "pulmonary_regurgitation": "none", "doppler_velocity_m_s": "4,15", "doppler_state": "awake", "catheter_peak_to_peak_mmhg": "43", "catheter_state": "anaesthesia",
    "pa_systolic_mmhg": "19", "rv_systolic_mmhg": "62", "systemic_systolic_mmhg": "97", "annulus-1-mm": "16,3", "annulus-1-modality": "angiogram", "annulus-1-frame": "open_valve_systole",
}


def test_twenty_fields_are_filled_by_the_return_key_alone(handbook, visit):
    with visit(handbook, "phone-light") as seen:
        seen.open("plan.html")
        page, pressed, typed_in = seen.page, 0, 0
        page.focus("#plan-age_years")
        for name, value in TWENTY.items():
            for _ in range(60):
                if page.evaluate("document.activeElement.id") == f"plan-{name}":
                    break
                page.keyboard.press("Enter")
                pressed += 1
            assert page.evaluate("document.activeElement.id") == f"plan-{name}"
            assert page.evaluate("document.activeElement.checkVisibility()")
            if page.evaluate("document.activeElement.tagName") == "SELECT":
                page.select_option(f"#plan-{name}", value)
                typed_in += 1
            else:
                assert page.evaluate("document.activeElement.inputMode") == "decimal"
                page.keyboard.type(value)
                typed_in += len(value)
        computed(seen)
        assert "20 × 40" in page.inner_text(".plan__key--balloon") or "20 mm" in page.inner_text(".plan__key--balloon")
        # At four keys in a second, and a second and a half for each list.
        assert (pressed + typed_in) / 4 + 1.5 * sum(not value[0].isdigit() for value in TWENTY.values()) < 60
        # The unit of the creatinine goes with the number; both come back.
        page.evaluate("document.querySelectorAll('.plan__group').forEach((group) => { group.open = true; })")
        page.select_option("#plan-creatinine_umol_l-unit", "creatinine_mg_dl")
        page.fill("#plan-creatinine_umol_l", "0,5")
        page.select_option("#plan-earlier_treatment", "outflow_stent")
        computed(seen)
        assert "creatinine 0.5 mg/dL (44 µmol/L)" in page.text_content("[data-part=inputs]")
        assert "This is not a case for the plan" in page.inner_text("[data-part=elsewhere]") and "This is not a case for the plan" in page.inner_text(".plan__first")
        assert page.get_attribute("[data-part=elsewhere] .plan__line a", "href").endswith("special.html#what-is-this-handbook-not-for")
        page.fill("#plan-creatinine_umol_l", "168")
        expect(page.locator("#plan-creatinine_umol_l-fault")).not_to_be_empty(timeout=60000)
        page.fill("#plan-weight_kg", "25.5 kg")
        page.fill("#plan-height_cm", "4 ft")
        expect(page.locator("#plan-height_cm-fault")).to_contain_text("is in ft, and this field is in cm", timeout=60000)
        assert page.inner_text("#plan-weight_kg-fault") == ""


def test_nothing_stands_before_the_age_and_every_field_starts_empty(handbook, visit):
    with visit(handbook, "phone-light") as seen:
        seen.open("plan.html")
        values = seen.page.evaluate("[...document.querySelectorAll('.plan__form :is(input, select:not(.plan__unit))')].map((field) => field.value)")
        assert len(values) > 40 and set(values) == {""}
        seen.page.fill("#plan-weight_kg", "20")
        expect(seen.page.locator(".plan__status")).to_contain_text("No plan.", timeout=60000)
        assert "Age is missing" in seen.page.inner_text(".plan__status")
        assert seen.page.query_selector(".plan__sheet") is None


def test_hz13_a_change_blanks_at_once_and_new_patient_and_reload_leave_nothing(handbook, visit):
    with visit(handbook, "phone-light") as seen:
        seen.open("plan.html")
        seen.page.fill("#plan-age_years", "7")
        computed(seen)
        # In the same turn of the script: the old plan is gone before the new one can come.
        gone = seen.page.evaluate("""() => { const field = document.querySelector('#plan-age_years'); field.value = '8';
            field.dispatchEvent(new Event('input', {bubbles: true})); return document.querySelector('.plan__sheet') === null; }""")
        assert gone
        computed(seen)
        assert "age 8 years" in seen.page.text_content(".plan__output [data-part=inputs]")
        seen.page.click("text=New patient")
        assert seen.page.query_selector(".plan__sheet") is None and seen.page.input_value("#plan-age_years") == ""
        seen.page.fill("#plan-age_years", "7")
        seen.page.reload()
        seen.page.wait_for_selector("#plan-age_years", state="attached")
        assert seen.page.input_value("#plan-age_years") == ""
        kept = seen.page.evaluate("JSON.stringify([Object.keys(localStorage), Object.keys(sessionStorage), location.href])")
        local, session, address = json.loads(kept)
        assert local in ([], ["/.__palette"]) and session == [] and "7" not in address.rpartition("/")[2]


def test_hz11_a_thousands_mark_is_refused_at_its_field(handbook, visit):
    with visit(handbook, "phone-light") as seen:
        seen.open("plan.html")
        seen.page.fill("#plan-age_years", "7")
        seen.page.fill("#plan-weight_kg", "1.234,5")
        expect(seen.page.locator("#plan-weight_kg-fault")).not_to_be_empty(timeout=60000)
        assert "both a comma and a point" in seen.page.inner_text("#plan-weight_kg-fault")
        assert seen.page.query_selector(".plan__sheet") is None
