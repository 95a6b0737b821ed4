"""Rows of the rubric that only a browser can judge."""

from tests.browser.trying import Form


def test_q10_and_q11_fields_start_empty_and_the_copied_text_is_whole(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("sizing.html")
        form = Form(seen, "balloon_range_mm").open()
        assert set(form.values()) == {""}
        form.give(annulus_mm="18,4")
        seen.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        form.block.get_by_role("button", name="Copy as text").click()
        form.block.get_by_role("button", name="Copied").wait_for()
        text = seen.page.evaluate("navigator.clipboard.readText()")
        for part in ("18.4", "mm", "Formula: balloon_range_mm", "Valid: ", "Not for: ", "Edition ", "build ", "Department settings: "):
            assert part in text, part
        assert "1.25" in text and "23.0" in text
