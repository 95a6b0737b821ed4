"""Whatever is typed becomes a number or a sentence, the same as in Python; ten such states are kept as pictures."""

import json
import random
import re

import pytest

from pvcalc.handbook.data import catalogue
from pvcalc.page import bridge
from tests.helpers import random_inputs
from tests.browser.trying import Form
from tests.browser.visits import SCREENSHOTS
from tests.engine.test_interpreters import SLOWER

ENTRIES = catalogue.load()
VALID, INVALID = 200, 50
AT_ONCE, SLOW_AT_ONCE = 50, 10  # in one message: the engine frees memory only between messages
# The page's own worker, without the time limit that the page sets it.
ASK_ALL = """async (text) => {
  const build = document.querySelector('meta[name="handbook-build"]').content;
  window.tested ??= new Worker(`assets/${build}/worker.js`, { type: "module" });
  const sent = JSON.stringify(JSON.parse(text));
  const reply = await new Promise((resolve) => {
    window.tested.onmessage = ({ data }) => resolve(data);
    window.tested.postMessage({ id: 1, text: sent });
  });
  return [sent, reply.text, reply.failed];
}"""

PARAGRAPH = "Weight 12.4 kg.\nAnnulus 18.4 mm in the long axis, 17.9 mm in the short axis.\nPlease call the ward before eight. " * 3
HOSTILE = {
    "html": "<b>18</b><img src=x onerror=alert(1)>", "script": "<script>alert(1)</script>", "1e400": "1e400", "beyond-32-bits": "4294967371",
    "1e-320": "1e-320", "nan": "NaN", "infinity": "Infinity", "minus-zero": "-0", "blank": "   ", "thousands": "1.234,5",
    "arabic-indic": "١٨٫٤", "paragraph": PARAGRAPH,
}
PICTURED = ("html", "1e400", "beyond-32-bits", "thousands", "arabic-indic", "paragraph")
ACCEPTED = ("18.4", "18,4", " 18.4 ", "+18.4", "\u00a018.4", "18.40")


def test_every_formula_answers_in_the_page_as_in_python(visit, handbook):
    with visit(handbook, "desktop-light") as seen:
        page = seen.open("sizing.html").page
        answered = {}
        for name, entry in ENTRIES.items():
            dice = random.Random("page and python " + name)
            given = [random_inputs.good(dice, entry.formula, entry.printed) for _ in range(VALID)]
            given += [random_inputs.bad(dice, entry.formula, entry.printed) for _ in range(INVALID)]
            count = 1 if name == "simulate" else SLOW_AT_ONCE if name in SLOWER else AT_ONCE
            for start in range(0, len(given), count):
                requests = [{"op": "run", "name": name, "given": one} for one in given[start:start + count]]
                sent, replied, failed = page.evaluate(ASK_ALL, json.dumps(requests))
                assert not failed, (name, failed)
                for one, here, there in zip(json.loads(sent), json.loads(bridge.reply(sent)), json.loads(replied), strict=True):
                    here.pop("value", None), there.pop("value", None)
                    assert here == there, one
                    answered[name] = answered.get(name, 0) + here["ok"]
        assert len(answered) == len(ENTRIES)
        assert [name for name, count in answered.items() if count < 10] == [], "refusals only would prove nothing"
        assert seen.troubles == []


def sound(seen, form):
    """The page is whole: nothing was executed, nothing unfit for a reader stands in the block."""
    text = form.block.inner_text()
    told = [word for word in ("NaN", "undefined", "Infinity", "[object", "Traceback") if word in re.sub("“[^”]*”", "", text)]
    assert told == [], text
    assert form.block.locator("script, .try__shown img, .try__field img, .try__field b").count() == 0
    assert seen.page.locator("article h1").count() == 1
    assert seen.too_wide() == 0
    assert seen.troubles == []


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_input_is_answered_with_a_sentence(visit, handbook, name):
    with visit(handbook, "phone-light") as seen:
        seen.page.on("dialog", lambda dialog: seen.troubles.append("a dialog opened: " + dialog.message))
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open().give(annulus_mm="18.4")
        form.give(annulus_mm=HOSTILE[name])
        if name == "blank":
            assert "Still needed" in form.text() and form.fault("annulus_mm") == ""
        else:
            fault = form.fault("annulus_mm")
            assert fault[0].isupper() and fault.endswith((".", "?")) and 20 < len(fault) < 400, fault
        assert form.output.locator(".worked__value").count() == 0 and form.block.locator(".try__picture svg").count() == 0
        sound(seen, form)
        if name in PICTURED:
            picture(form, name)
        assert "22.1 mm" in form.give(annulus_mm="18.4").text(), "the next good number is answered as ever"


def test_what_is_read_as_the_same_number_gives_the_same_answer(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open()
        answers = {form.give(annulus_mm=text).text() for text in ACCEPTED}
        assert len(answers) == 1 and "22.1 mm" in answers.pop()
        sound(seen, form)


@pytest.mark.parametrize("name", ["html", "script", "nan", "thousands", "paragraph"])
def test_hostile_input_in_a_list_and_in_a_decision_table(visit, handbook, name):
    with visit(handbook, "desktop-dark") as seen:
        table = Form(seen.open("assessment.html"), table="severity_acc_2025").open().give(age_years="34", doppler_peak_mmhg=HOSTILE[name])
        assert table.fault("doppler_peak_mmhg").endswith((".", "?"))
        assert table.output.locator(".answer").count() == 0
        sound(seen, table)
        outcomes = Form(seen.open("audit.html"), "cusum_verdict").open().press("Fill in the example").give(outcomes="0 0 1 " + HOSTILE[name])
        assert outcomes.fault("outcomes").endswith((".", "?"))
        sound(seen, outcomes)


def test_good_states_are_kept_as_pictures(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open().give(annulus_mm="18,4")
        assert "22.1 mm" in form.text()
        picture(form, "comma-understood")
        assert "not a patient" in form.press("Fill in the example").block.locator(".try__example").inner_text()
        picture(form, "example")
        form = Form(seen, "annulus_z").open().give(view="short_axis", annulus_mm="14", age_years="5", weight_kg="39.7", height_cm="110")
        assert form.block.get_by_role("checkbox").is_visible()
        picture(form, "held-by-a-question")
    with visit(handbook, "phone-dark") as seen:
        form = Form(seen.open("assessment.html"), table="severity_acc_2025").open().give(age_years="34", doppler_peak_mmhg="64")
        assert "At the cut-off" in form.text()
        picture(form, "several-documents-at-the-cut-off")
    with visit(handbook, "desktop-dark") as seen:
        form = Form(seen.open("physiology.html"), "simulate").open().press("Fill in the example").give(orifice_area_cm2="1,5")
        assert form.block.locator(".try__picture svg").count() == 1
        picture(form, "simulation-changed")


def picture(form, name):
    """Keep the opened fields as a picture for a person to look at."""
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    form.block.locator("form").screenshot(path=SCREENSHOTS / f"state-{name}.png", animations="disabled")
