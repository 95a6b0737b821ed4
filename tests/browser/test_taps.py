"""A reviewer's five taps: from a number to its sentence, the work, what finds the work, and who read it."""

import random
import re

IDENTIFIED = re.compile(r"PMCID \w|ISBN \d|Number: \S|\d{4};\S+")
CHAPTERS = ("sizing.html", "technique.html", "complications.html", "drills/allergy.html")
EACH = 10
CITED = """() => [...document.querySelectorAll("a.cite[id]")].map((mark) => {
  const sentence = mark.closest("p, li, td, th, summary, dd, figcaption");
  return {use: mark.id, work: mark.getAttribute("href").slice(1), said: sentence ? sentence.textContent.trim() : ""};
}).filter((one) => /\\d/.test(one.said.replace(/\\d+$/, "")))"""
# At the foot of the chapter: the way back to the sentence, and the way on to the full entry.
FOOT = """(found) => found.map(({use, work}) => {
  const entry = document.getElementById(work);
  return entry && {back: !!entry.querySelector(`a[href="#${use}"]`), key: new URL([...entry.querySelectorAll("a")].pop().href).hash.slice(1)};
})"""
ROW = """(keys) => keys.map((key) => {
  const cells = [...document.getElementById(key).children].map((cell) => cell.textContent.trim());
  return {link: !!document.getElementById(key).querySelector('a.identifier[href^="https://"]'), work: cells[0], grade: cells[2], seen: cells[3],
          extent: cells[4], notes: cells[6]};
})"""


def test_forty_numbers_lead_to_their_work_its_identifier_and_its_reader(visit, handbook):
    dice, tapped = random.Random(40), []
    with visit(handbook, "phone-light") as seen:
        for address in CHAPTERS:
            seen.open(address)
            cited = seen.page.evaluate(CITED)
            chosen = dice.sample(cited, min(EACH, len(cited)))
            for one, foot in zip(chosen, seen.page.evaluate(FOOT, chosen), strict=True):
                assert foot and foot["back"] and foot["key"], (address, one)
                tapped.append((address, one["said"], foot["key"]))
        # One is followed by hand: the mark opens the folded works, and their entry leads on.
        seen.page.evaluate("(id) => { location.hash = id; }", f"source-{tapped[-1][2]}")
        entry = seen.page.locator(f"#source-{tapped[-1][2]}")
        entry.wait_for(state="visible")
        entry.get_by_role("link", name="Full entry").click()
        seen.page.wait_for_url(f"**/reference/sources.html#{tapped[-1][2]}")
        rows = seen.page.evaluate(ROW, [key for _, _, key in tapped])
    assert len(tapped) >= 32
    for (address, said, key), row in zip(tapped, rows, strict=True):
        # An identifier to follow, or journal, volume and page, or a sentence that says how the work is found.
        assert row["link"] or IDENTIFIED.search(row["work"]) or "Found by" in row["notes"], (address, said[:80], key, row["work"])
        assert row["grade"] and row["seen"] and row["extent"], (address, key)
