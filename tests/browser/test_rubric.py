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


def test_q18_no_page_scrolls_sideways_at_320_px_and_its_targets_are_large_enough(visit, handbook, built_site):
    pages = sorted(path.relative_to(built_site).as_posix() for path in built_site.rglob("*.html")
                   if not path.relative_to(built_site).as_posix().startswith(("reference/", "worksheets/", "404")))
    assert len(pages) >= 30
    wide, small = [], []
    with visit(handbook, "phone-light", viewport={"width": 320, "height": 640}) as seen:
        for name in pages + ["reference/hazards.html", "reference/rubric.html", "reference/settings.html", "worksheets/sizing.html"]:
            seen.open(name)
            wide += [name] * bool(seen.too_wide())
            small += [(name, target) for target in seen.small_targets(24)]
        assert (wide, small) == ([], [])
