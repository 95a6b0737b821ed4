"""Every page of the handbook, opened once: no axe finding (contrast and size of targets among them), no outside request,
nothing lost at 320 pixels or at twice the text."""

import pytest

from tests.browser.visits import visiting

# A page is opened once and looked at three ways; opening is what takes the time.
LARGE_TEXT = "document.documentElement.style.setProperty('font-size', '200%', 'important')"
SETTLED = "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"


@pytest.fixture(scope="module")
def names(built_site):
    found = sorted(path.relative_to(built_site).as_posix() for path in built_site.rglob("*.html"))
    assert len(found) > 50
    # Worksheets are made by one template from one kind of row: the longest and the shortest stand for all.
    sheets = sorted((name for name in found if name.startswith("worksheets/")), key=lambda name: (built_site / name).stat().st_size)
    return [name for name in found if name not in sheets[1:-1]]


@pytest.mark.parametrize("part", range(4))
def test_page_stands_axe_a_narrow_window_and_large_text(browser, handbook, names, part):
    faults = []
    for name in names[part::4]:
        with visiting(browser, handbook, "desktop-light", policy=False) as seen:
            faults += [f"{name}: {fault}" for fault in seen.open(name).axe()]
            seen.page.set_viewport_size({"width": 320, "height": 640})
            seen.page.evaluate(SETTLED)
            if seen.too_wide():
                faults.append(f"{name}: {seen.too_wide()} pixels too wide at 320")
            faults += [f"{name}: low at 320: {target}" for target in seen.small_targets()]
            seen.page.set_viewport_size({"width": 1280, "height": 800})
            seen.page.evaluate(LARGE_TEXT)
            seen.page.evaluate(SETTLED)
            if seen.too_wide():
                faults.append(f"{name}: {seen.too_wide()} pixels too wide with twice the text")
            faults += [f"{name}: {trouble}" for trouble in seen.troubles]
    assert faults == []
