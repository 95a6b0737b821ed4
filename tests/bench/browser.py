"""How long a reader waits in Chromium for a first answer and for a keystroke: as it comes, and on a processor four times slower.

The browser's own throttling slows the page but not its workers, where the engine runs. Two figures are surely not less
than the work between key and answer: the wait (longer on a busy machine), and the processor time of page, engine and all
their threads (it holds painting and what other threads did meanwhile). Four times the smaller of the two is printed.
"""

import os
import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
from tests.browser.serving import Server  # noqa: E402
from tests.browser.visits import FLAGS  # noqa: E402
from tests.conftest import build_site  # noqa: E402
from tests.helpers.need_programs import chromium_path  # noqa: E402

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
SLOWED = 4
TIMES = 20
# What is typed: page, formula, fixed fields, the field that changes, its values; targets in ms as they come and slowed.
KEYS = [
    ("formula", "index.html", "bernoulli_gradient_mmhg", {}, "velocity_m_s", ["3.1", "3.2"], 16, 50),
    ("formula with figure", "sizing.html", "balloon_range_mm", {}, "annulus_mm", ["18.1", "18.2"], 16, 150),
    ("exact interval", "audit.html", "exact_interval", {"cases": "57"}, "events", ["3", "4"], 16, 150),
    ("simulation", "physiology.html", "simulate", {
        "heart_rate_bpm": "75", "output_l_min": "5", "contractility_mmhg_ml": "1.7", "infundibulum_diastole_cm2": "50",
        "infundibulum_systole_cm2": "50"}, "orifice_area_cm2", ["0.6", "0.7"], None, 800),
]
# From the first sign of a wish (opening the fields, or a key) to the answer standing on the page.
WAIT = """async ([formula, fixed, name, value, opening]) => {
  const block = [...document.querySelectorAll(`section[data-formula="${formula}"]`)].find((one) => one.querySelector(".try"));
  const begun = performance.now();
  if (opening) block.querySelector(".try__open").click();
  const give = (field, text) => {
    const input = block.querySelector(`[id^="try-"][id$="-${field}"]`);
    input.value = text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  };
  Object.entries(fixed).forEach(([field, text]) => give(field, text));
  if (!opening) await new Promise((ready) => setTimeout(ready, 400));
  const from = opening ? begun : performance.now();
  give(name, value);
  const typed = performance.now() - from;
  const shown = block.querySelector(".try__shown");
  const there = () => shown.querySelector(".worked__value") && !shown.style.minHeight;
  await new Promise((done) => {
    if (there()) return done();
    new MutationObserver((_, watch) => { if (there()) { watch.disconnect(); done(); } })
      .observe(shown, { childList: true, subtree: true, attributes: true });
  });
  return [performance.now() - from, typed];
}"""


def renderers(browser):
    """Process numbers of this browser's pages."""
    told = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")["processInfo"]
    return [process["id"] for process in told if process["type"] == "renderer"]


def used_ms(browser):
    """Processor time that this browser's pages have used until now."""
    total = 0
    for pid in renderers(browser):
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        total += int(fields[11]) + int(fields[12])
    return total * 1000 / os.sysconf("SC_CLK_TCK")


def first_answer(browser, address, kept):
    """(wait, processor time) in ms from opening the fields to the first answer; `kept`: the handbook is on the device."""
    context = browser.new_context(**PHONE, service_workers="allow" if kept else "block")
    page = context.new_page()
    page.goto(address + "index.html", wait_until="load")
    if kept:
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.evaluate(WAIT, ["bernoulli_gradient_mmhg", {}, "velocity_m_s", "3", True])
        page.goto(address + "index.html", wait_until="load")
    page.wait_for_timeout(1500)  # the page's own work is over
    before = used_ms(browser)
    wait = page.evaluate(WAIT, ["bernoulli_gradient_mmhg", {}, "velocity_m_s", "3", True])[0]
    used = used_ms(browser) - before
    context.close()
    return wait, used


def keystrokes(browser, address, page_name, formula, fixed, name, values):
    """(median wait, mean processor time, longest that the page itself was held up) in ms, from a key to its answer."""
    context = browser.new_context(**PHONE, service_workers="block")
    page = context.new_page()
    page.goto(address + page_name, wait_until="load")
    page.evaluate(WAIT, [formula, fixed, name, values[0], True])
    page.wait_for_timeout(1500)
    before, taken = used_ms(browser), []
    for _ in range(TIMES):
        page.evaluate("new Promise((ready) => setTimeout(ready, 400))")
    idle, before = used_ms(browser) - before, used_ms(browser)
    for turn in range(TIMES):
        taken.append(page.evaluate(WAIT, [formula, {}, name, values[(turn + 1) % 2], False]))
    used = (used_ms(browser) - before - idle) / TIMES  # without what the page and this script do anyway
    context.close()
    return statistics.median(wait for wait, _ in taken), used, max(held for _, held in taken)


def said(value, target):
    """A time, and whether it is within its target."""
    return f"{value:6.0f} ms" + ("" if target is None else f" of {target}" + ("" if value <= target else " OVER"))


def main():
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        build_site(Path(folder) / "site")
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        print(f"Chromium {browser.version}, load of the machine {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
        with Server(Path(folder) / "site") as server:
            for words, kept, target in (("nothing kept", False, 1200), ("handbook kept", True, 500)):
                tries = [first_answer(browser, server.address, kept) for _ in range(3)]
                wait, used = [statistics.median(values) for values in zip(*tries)]
                print(f"first answer, {words:<22} wait {said(wait, None):<16} slowed {SLOWED} times {said(SLOWED * min(wait, used), target)}")
            for words, page, formula, fixed, name, values, plain, slow in KEYS:
                wait, used, held = keystrokes(browser, server.address, page, formula, fixed, name, values)
                print(f"keystroke, {words:<25} wait {said(wait, plain):<16} slowed {SLOWED} times {said(SLOWED * min(wait, used), slow):<20} "
                      f"typing held up {held:.0f} ms")
        browser.close()


if __name__ == "__main__":
    main()
