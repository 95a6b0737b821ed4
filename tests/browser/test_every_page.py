"""Every page of the handbook, opened once at a desk: quiet under the site's policy, no axe finding (contrast and size of
targets among them), no outside request, nothing lost at 320 pixels or at twice the text."""

import pytest

from tests.browser.visits import KINDS, PICTURED, picture_name, visiting

# A page is opened once and looked at in every way; opening is what takes the time.
LARGE_TEXT = "document.documentElement.style.setProperty('font-size', '200%', 'important')"
NARROW_PX, DESK = 320, (1280, 800)


def faults_at_a_desk(seen, name):
    """What axe says in light colours, and of one page of each kind in dark ones; pictures for a person."""
    faults = seen.open(name).axe()
    if seen.too_wide():
        faults.append(f"{seen.too_wide()} pixels too wide")
    if name in PICTURED:
        seen.picture(picture_name(name))
        seen.switch_colours().picture(picture_name(name))
        faults += seen.axe() if name in KINDS else []
        seen.switch_colours()
    return faults


def faults_when_narrow_or_large(seen):
    """What is lost in a narrow window, and with letters of twice the size."""
    faults = []
    if seen.resize(NARROW_PX, 640).too_wide():
        faults.append(f"{seen.too_wide()} pixels too wide at {NARROW_PX}")
    faults += [f"low at {NARROW_PX}: {target}" for target in seen.small_targets()]
    seen.resize(*DESK).page.evaluate(LARGE_TEXT)
    if seen.still().too_wide():
        faults.append(f"{seen.too_wide()} pixels too wide with twice the text: {seen.reaching_out()}")
    return faults


@pytest.mark.parametrize("part", range(4))
def test_page_stands_axe_a_narrow_window_and_large_text(browser, handbook, every_page, part):
    faults = []
    with visiting(browser, handbook, "desktop-light") as seen:
        for name in every_page[part::4]:
            told = faults_at_a_desk(seen, name) + faults_when_narrow_or_large(seen) + seen.troubles
            faults += [f"{name}: {fault}" for fault in told]
            seen.troubles.clear()
    assert faults == []
