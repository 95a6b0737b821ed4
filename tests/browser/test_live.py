"""Own numbers beside a worked example: what is typed, what is answered, what is refused, what never remains."""

import pytest

from tests.browser.trying import Form

def sizing(seen):
    """The first example of the chapter on balloon size, opened."""
    return Form(seen.open("sizing.html"), "balloon_range_mm").open()


def test_a_typed_comma_is_understood_and_the_answer_is_shown_with_its_picture(visit, handbook, view):
    with visit(handbook, view) as seen:
        form = sizing(seen)
        assert "Still needed" in form.text()
        form.give(annulus_mm="18,4")
        # 18.4 × 1.20 and 18.4 × 1.25, by hand.
        assert "22.1 mm" in form.text() and "23.0 mm" in form.text()
        assert form.echo("annulus_mm") == "Read as 18.4 mm."
        assert form.block.locator(".try__picture svg").count() == 1
        assert form.spoken("22.1")
        assert seen.too_wide() == 0
        assert seen.small_targets() == []
        assert seen.troubles == []


@pytest.mark.parametrize("view", ["phone-light", "desktop-dark"])
def test_a_refusal_clears_the_result_and_is_tied_to_its_field_and_told(visit, handbook, view):
    with visit(handbook, view) as seen:
        form = sizing(seen).give(annulus_mm="18.4")
        form.give(annulus_mm="184")
        field = form.field("annulus_mm")
        assert "mm is outside" in form.fault("annulus_mm")
        assert "22.1" not in form.text() and "No result" in form.text()
        assert form.block.locator(".try__picture svg").count() == 0
        assert field.get_attribute("aria-invalid") == "true"
        described = field.get_attribute("aria-describedby").split()
        assert any(seen.page.locator(f"#{name}").inner_text() == form.fault("annulus_mm") for name in described)
        assert form.spoken("is outside")
        form.give(annulus_mm="18.4")
        assert field.get_attribute("aria-invalid") is None and form.fault("annulus_mm") == ""
        assert seen.troubles == []


def test_an_example_fills_every_field_and_is_never_taken_for_own_numbers(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        form = sizing(seen).give(annulus_mm="12")
        other = Form(seen, "annulus_z").open()
        form.press("Fill in the example")
        assert "" not in form.values()
        assert form.block.locator(".try__example").inner_text() == "Example numbers: not a patient."
        form.give(annulus_mm="20")
        assert "not a patient" in form.block.locator(".try__example").inner_text()
        shared = [field["name"] for field in other.offer["fields"] if field["name"] in form.offer["example"]]
        assert shared == ["annulus_mm"]
        assert [other.field(name).input_value() for name in shared] == ["12"] * len(shared), "an example travels nowhere"
        form.press("Leave the example")
        assert form.values() == ["12"] and not form.block.locator(".try__example").is_visible()
        assert seen.troubles == []


def test_values_travel_by_name_and_new_patient_clears_the_page(visit, handbook):
    with visit(handbook, "desktop-light") as seen:
        seen.open("assessment.html")
        first = Form(seen, "rv_systolic_pressure_mmhg").open()
        first.give(**{field["name"]: "3" for field in first.offer["fields"]})
        others = [block for block in seen.page.locator("section[data-formula]").all() if block.locator(".try").count()]
        names = {field["name"] for field in first.offer["fields"]}
        for place, block in enumerate(others):
            formula = block.get_attribute("data-formula")
            other = Form(seen, formula)
            shared = names & {field["name"] for field in other.offer["fields"]}
            if formula != "rv_systolic_pressure_mmhg" and shared:
                break
        assert shared and formula != "rv_systolic_pressure_mmhg"
        other.open()
        assert all(other.field(name).input_value() == "3" for name in shared)
        other.press("New patient: clear this page")
        assert set(first.values() + other.values()) == {""}
        assert "Still needed" in first.settled().text() and "Still needed" in other.text()
        assert seen.troubles == []


@pytest.mark.parametrize("way", ["reload", "back"])
def test_reload_and_back_show_empty_fields(visit, handbook, way):
    with visit(handbook, "phone-light") as seen:
        form = sizing(seen).give(annulus_mm="18.4")
        if way == "reload":
            seen.page.reload(wait_until="load")
        else:
            seen.page.goto(handbook + "indications.html", wait_until="load")
            seen.page.go_back(wait_until="load")
        if not form.block.locator("form").count() or not form.block.locator("form").is_visible():
            form = Form(seen, "balloon_range_mm").open()
        assert form.values() == [""]
        assert "22.1" not in form.text()
        assert seen.page.evaluate("[sessionStorage.length, document.cookie.length]") == [0, 0]
        assert "18.4" not in seen.page.evaluate("JSON.stringify({...localStorage}) + location.href")
        assert seen.troubles == []


def test_a_page_left_is_emptied_before_the_page_cache_may_keep_it(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        form = sizing(seen).give(annulus_mm="18.4")
        seen.page.evaluate("dispatchEvent(new PageTransitionEvent('pagehide', {persisted: true}))")
        assert form.values() == [""] and "22.1" not in form.text()


def test_old_answers_never_stand_beside_newer_numbers(visit, handbook):
    """Every state of the page between two keystrokes: a result is there only with the number it was computed from."""
    with visit(handbook, "desktop-light") as seen:
        form = sizing(seen)
        stale = seen.page.evaluate("""async ([field, output]) => {
            const bad = [];
            const expect = { "10": "12.0", "20": "24.0", "30": "36.0" };  /* low end: 1.20 times */
            const look = () => {
              const shown = output.querySelector(".worked__value")?.textContent;
              if (shown && !shown.startsWith(expect[field.value])) bad.push([field.value, shown]);
            };
            new MutationObserver(look).observe(output, { childList: true, subtree: true });
            for (let turn = 0; turn < 60; turn += 1) {
              field.value = ["10", "20", "30"][turn % 3];
              field.dispatchEvent(new Event("input", { bubbles: true }));
              look();
              await new Promise((next) => setTimeout(next, turn % 7));
            }
            await new Promise((next) => setTimeout(next, 500));
            look();
            return bad;
        }""", [form.field("annulus_mm").element_handle(), form.output.element_handle()])
        assert stale == []
        assert "36.0 mm" in form.settled().text()


def test_copied_text_says_what_was_computed_from_what_and_when(visit, handbook):
    with visit(handbook, "desktop-light", permissions=["clipboard-read", "clipboard-write"]) as seen:
        form = sizing(seen).give(annulus_mm="18,4").press("Copy as text")
        text = seen.page.evaluate("navigator.clipboard.readText()").replace("\u00a0", " ")
        for words in ("18.4 mm", "22.1 mm", "23.0 mm", "balloon_range_mm", "Valid: ", "Source: ", "Not for: ", "Edition 1", "build ",
                      "Department settings: ", "not a medical device"):
            assert words in text, text
        assert seen.page.evaluate("new Date().toLocaleDateString('en-GB')") in text
        assert seen.troubles == []


def test_without_a_clipboard_the_text_is_shown_to_be_copied_by_hand(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.page.add_init_script("Object.defineProperty(navigator, 'clipboard', {value: undefined})")
        form = sizing(seen).give(annulus_mm="18.4")
        form.press("Copy as text")
        assert "22.1\u00a0mm" in form.block.locator(".try__copied").input_value()
        form.press("New patient: clear this page")
        assert form.block.locator(".try__copied").count() == 0


@pytest.mark.parametrize("view", ["phone-light", "desktop-dark"])
def test_decision_tables_answer_for_several_documents_at_once(visit, handbook, view):
    with visit(handbook, view) as seen:
        form = Form(seen.open("assessment.html"), table="severity_acc_2025").open()
        assert "cannot evaluate" in form.text()
        form.press("Fill in the example")
        static = [" ".join(cell.inner_text().split()) for cell in form.block.locator("table.documents").first.locator(".answer").all()]
        live = [" ".join(cell.inner_text().split()) for cell in form.output.locator(".answer").all()]
        assert live == static and len(live) > 2
        assert seen.too_wide() == 0
        assert seen.troubles == []


def test_a_velocity_at_the_cut_off_says_so(visit, handbook):
    with visit(handbook, "desktop-light", permissions=["clipboard-read", "clipboard-write"]) as seen:
        form = Form(seen.open("assessment.html"), table="severity_acc_2025").open()
        form.give(age_years="34", doppler_peak_mmhg="64")
        assert "At the cut-off" in form.text()
        form.press("Copy as text")
        text = seen.page.evaluate("navigator.clipboard.readText()")
        assert "At the cut-off" in text and "gurvitz2026" in text


def test_a_question_holds_the_result_until_it_is_ticked(visit, handbook):
    """39.7 are the pounds of 18 kg: in range, but not at 110 cm."""
    with visit(handbook, "phone-light") as seen:
        form = Form(seen.open("sizing.html"), "annulus_z").open()
        form.give(view="short_axis", annulus_mm="14", age_years="5", weight_kg="39.7", height_cm="110")
        question = form.output.locator(".worked__question").inner_text()
        tick = form.block.get_by_role("checkbox")
        copying = form.block.get_by_role("button", name="Copy as text")
        assert "typed in pounds?" in question
        assert form.output.locator(".worked__value").count() == 0 and not copying.is_visible()
        tick.check()
        assert form.output.locator(".worked__value").count() > 0 and copying.is_visible()
        assert tick.evaluate("(box) => box === document.activeElement"), "the focus stays where it was"
        tick.uncheck()
        assert form.output.locator(".worked__value").count() == 0 and not copying.is_visible()
        tick.check()
        form.give(weight_kg="39.8")
        assert form.output.locator(".worked__value").count() == 0, "another number is asked about again"
        form.give(weight_kg="18")
        assert form.output.locator(".worked__value").count() > 0 and tick.count() == 0
        assert seen.troubles == []


def test_everything_works_from_the_keyboard(visit, handbook):
    with visit(handbook, "desktop-light", permissions=["clipboard-read", "clipboard-write"]) as seen:
        form = Form(seen.open("sizing.html"), "annulus_z")
        keys = seen.page.keyboard
        form.block.get_by_role("button", name="Your numbers").focus()
        keys.press("Enter")
        form.settled()
        for field in form.offer["fields"]:
            name = field["name"]
            assert form.field(name).evaluate("(control) => control === document.activeElement"), name
            example = form.offer["example"][name]
            keys.type(str(example).replace("_", " ")) if field["kind"] == "choice" else keys.type(str(example))
            keys.press("Tab")
        assert form.settled().output.locator(".worked__value").count() > 0
        reached = []
        for _ in range(8):
            reached.append(seen.page.evaluate("document.activeElement.textContent"))
            if reached[-1] == "Copy as text":
                break
            keys.press("Tab")
        assert "Fill in the example" in reached and reached[-1] == "Copy as text"
        keys.press("Enter")
        form.spoken("Copied as text.")
        assert "annulus_z" in seen.page.evaluate("navigator.clipboard.readText()")
        assert seen.troubles == []


@pytest.mark.parametrize("page, formula, view", [
    ("sizing.html", "annulus_z", "phone-dark"), ("sizing.html", "annulus_z", "desktop-light"), ("physiology.html", "simulate", "desktop-dark"),
    ("audit.html", "cusum_verdict", "phone-light"), ("assessment.html", "", "phone-dark")])
def test_axe_finds_nothing_in_opened_fields(visit, handbook, view, page, formula):
    with visit(handbook, view) as seen:
        form = Form(seen.open(page), formula).open()
        first = form.offer["fields"][0]
        if first["kind"] in ("number", "whole"):
            form.give(**{first["name"]: "99999"})
            assert seen.axe("section.worked, section.decision") == []
        form.press("Fill in the example")
        assert seen.axe() == []
        assert seen.small_targets() == [] and seen.too_wide() == 0


@pytest.mark.parametrize("view", ["phone-light", "desktop-dark"])
def test_sliders_and_fields_move_each_other_and_the_traces_are_drawn_anew(visit, handbook, view):
    with visit(handbook, view) as seen:
        form = Form(seen.open("physiology.html"), "simulate").open().press("Fill in the example")
        assert [field["name"] for field in form.offer["fields"] if "stops" in field] == [field["name"] for field in form.offer["fields"]]
        picture = form.block.locator(".try__picture svg")
        before = picture.inner_html()
        assert "A model, not your patient" in picture.locator("text").all_text_contents()
        slider = form.block.get_by_role("slider").first
        slider.focus()
        for _ in range(5):
            seen.page.keyboard.press("ArrowRight")
        form.settled()
        assert float(form.field("orifice_area_cm2").input_value()) > 0.6
        assert picture.inner_html() != before
        assert "try__picture--old" not in form.block.locator(".try__picture").get_attribute("class")
        place = int(slider.input_value())
        form.give(orifice_area_cm2="3,5")
        assert int(slider.input_value()) > place
        assert slider.get_attribute("aria-valuetext").startswith("3,5")
        form.give(orifice_area_cm2="")
        assert picture.count() == 0 and "Still needed" in form.text()
        assert seen.troubles == []


def test_lists_of_outcomes_are_read_as_typed_or_pasted(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        form = Form(seen.open("audit.html"), "cusum_verdict").open().press("Fill in the example")
        shown = form.text()
        count = len(form.offer["example"]["outcomes"])
        form.give(outcomes="\n".join(form.field("outcomes").input_value().split("; ")))
        assert form.text() == shown
        assert form.echo("outcomes") == f"Read as {count} numbers."
        form.give(outcomes="0 0 zero")
        assert "zero" in form.fault("outcomes") and "No result" in form.text()


def test_a_broken_engine_file_is_refused_in_a_sentence(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("sizing.html")
        seen.page.route("**/assets/*/modules/sizing.ratio.json", lambda route: route.fulfill(body="low = 1"))
        form = Form(seen, "balloon_range_mm").open().give(annulus_mm="18.4")
        assert "is not the file of edition" in form.text() and "22.1" not in form.text()
        seen.page.unroute("**/assets/*/modules/sizing.ratio.json")
        assert "22.1 mm" in form.give(annulus_mm="18.40").text(), "the next key asks again"


def test_an_engine_that_cannot_be_reached_says_so_and_tries_again(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("sizing.html")
        seen.page.route("**/assets/*/micropython.wasm", lambda route: route.abort())
        form = Form(seen, "balloon_range_mm").open()
        assert "could not" in form.text() and "stays as printed" in form.text()
        seen.page.unroute("**/assets/*/micropython.wasm")
        assert "22.1 mm" in form.give(annulus_mm="18.4").text()


def test_a_run_that_takes_too_long_is_stopped(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.page.add_init_script("const plain = setTimeout; window.setTimeout = (act, ms, ...rest) => plain(act, ms === 8000 ? 1 : ms, ...rest);")
        form = Form(seen.open("physiology.html"), "simulate").open()
        form.press("Fill in the example")
        assert "took too long and was stopped" in form.text()
