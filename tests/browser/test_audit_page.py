"""The audit page: a file chosen by the reader is counted in the page, as the command line counts it, and never sent."""

import json

import pytest

from pvcalc.audit import steps
from pvcalc.audit.words import sections
from pvcalc.handbook.engine import needs
from tests.helpers.audit_files import DOWNLOADS, SCHEMA, rows_of, text_of

PAGE = "audit-your-file.html"
DONE_MS = 180_000  # a slow test machine, not a promise
CHART = {"definition": "success_registry_2012", "acceptable_fraction": "0,09", "unacceptable_fraction": "0.18",
         "event": "serious", "event_acceptable_fraction": "0.03", "event_unacceptable_fraction": "0.09"}


def choose(page, content, name="unit.csv", **fields):
    """Choose a file, fill in fields, press the button, wait for the end; returns what the status says."""
    if any(fields):
        page.get_by_text("Charts case by case").click()
    for field, value in fields.items():
        control = page.locator(f"#audit-{field}")
        if control.evaluate("(element) => element.tagName") == "SELECT":
            control.select_option(value)
        else:
            control.fill(value)
    page.locator("#audit-file").set_input_files({"name": name, "mimeType": "text/csv", "buffer": content})
    page.get_by_role("button", name="Count the file").click()
    status = page.locator(".audit__status").filter(has_not_text="…").filter(has_text=".").or_(page.locator(".audit__status", has_text="No result:"))
    status.wait_for(timeout=DONE_MS)
    return status.inner_text()


def expected(loaded, text):
    """Sections as the command line makes them."""
    options = {name: float(value.replace(",", ".")) if name.endswith("fraction") else value for name, value in CHART.items()}
    made = steps.audit(json.loads(needs.data_text(loaded)), SCHEMA, text, options)
    return sections(made.result)


def plain(text):
    return " ".join(text.split())


@pytest.mark.parametrize("view", ["phone-light", "desktop-light"])
def test_the_demo_file_gives_in_the_page_what_the_command_line_gives(view, handbook, visit, loaded):
    content = (DOWNLOADS / "audit-demo.csv").read_bytes()
    with visit(handbook, view) as seen:
        page = seen.open(PAGE).page
        asked = []
        page.on("request", lambda request: asked.append((request.method, request.url, request.post_data)))
        assert choose(page, content, **CHART) == "Done: 150 attempts counted."
        for part in expected(loaded, content.decode()):
            box = page.locator(f'.audit__part[data-part="{part["id"]}"]')
            assert [plain(line) for line in box.locator(":scope > p:not(.audit__caption)").all_inner_texts()] == [plain(line) for line in part["lines"]]
            cells = box.locator("tbody td").evaluate_all("(cells) => cells.map((cell) => cell.textContent)")
            assert [plain(cell) for cell in cells] == [plain(cell) for table in part["tables"] for row in table["rows"] for cell in row]
            assert box.locator("figure.picture svg[role=img] desc").count() == len(part["pictures"])
        # The engine is loaded from this site; nothing of the file goes anywhere.
        assert all(method == "GET" and url.startswith(handbook) and not body for method, url, body in asked)
        assert "INVENTED" not in json.dumps(asked)
        assert seen.too_wide() == 0
        assert seen.small_targets() == []
        assert seen.troubles == []
        seen.picture("audit-result")
        page.get_by_role("button", name="Forget the file").click()
        assert page.locator(".audit__result").inner_text() == "" and page.locator("#audit-file").input_value() == ""
        assert page.evaluate("Object.keys(localStorage)") in ([], ["/.__palette"]) and page.evaluate("sessionStorage.length") == 0
        assert "INVENTED" not in page.evaluate("JSON.stringify([{...localStorage}, {...sessionStorage}])")


def test_bad_files_give_sentences(handbook, visit):
    rows = rows_of(3, 6)
    good = text_of(rows)
    rows[1]["event_level"], rows[3]["date"], rows[4]["operator"] = 7, "31/12/2020", "=cmd|'/c calc'!A1"
    with visit(handbook, "desktop-light") as seen:
        page = seen.open(PAGE).page
        said = choose(page, text_of(rows).encode())
        assert "2 of 6 rows are at fault" in said
        told = page.locator(".audit__faults li").all_inner_texts()
        assert len(told) == 2 and told[0].startswith("Line 3, event_level “7”: lies outside; allowed: 1 to 5") and "date “31/12/2020”: is not a date" in told[1]
        assert page.locator(".audit__result").inner_text() == ""
        page.locator("#audit-partial").check()
        assert choose(page, text_of(rows).encode()) == "Done: 4 attempts counted."
        assert "Partial: 2 rows" in page.locator(".audit__result").inner_text()
        page.locator("#audit-partial").uncheck()
        for content, words in [
                (good.encode("utf-16"), "UTF-16"), ("attempt,date,performed,age_days\né".encode("cp1252"), "Windows-1252"), (b"", "empty"),
                (b"PK\x03\x04rest", "own format"), (b"\0\1\2", "zero bytes"), (b"name,birthday\nx,y\n", "names none of the columns"),
                (text_of(rows_of(1, 5001), columns=["attempt", "date", "age_days", "performed"]).encode(), "5001 rows; a page takes 5000")]:
            assert words in choose(page, content), words
            assert page.locator(".audit__result").inner_text() == ""
        assert choose(page, good.encode("utf-8-sig"), acceptable_fraction="many").startswith("acceptable “many” is not a plain number")
        assert seen.troubles == []


def test_the_page_is_accessible_before_and_after(handbook, visit):
    with visit(handbook, "desktop-dark") as seen:
        page = seen.open(PAGE).page
        assert seen.axe() == []
        assert choose(page, (DOWNLOADS / "audit-demo.csv").read_bytes()) == "Done: 150 attempts counted."
        assert seen.axe() == []
        seen.picture("audit-result-dark")
