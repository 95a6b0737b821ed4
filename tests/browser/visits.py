"""Opening pages in Chromium and holding everything against them that went wrong."""

from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from pvcalc.handbook.publish import book

ROOT = Path(__file__).parents[2]
SCREENSHOTS = ROOT / "build" / "screenshots"
AXE = ROOT / "pvcalc" / "handbook" / "engine" / "node_modules" / "axe-core" / "axe.min.js"
MOST_PICTURED_PX = 3000
# Every new window loads two pages of Chromium's own address bar, which cost more than the page that is looked at. The list
# replaces the one playwright gives (chromiumSwitches.ts), so what of that matters to a page from this machine stands here too.
UNWANTED = ["WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "AvoidUnnecessaryBeforeUnloadCheckSync", "DestroyProfileOnBrowserClose",
            "HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "LensOverlay", "MediaRouter", "PaintHolding",
            "ThirdPartyStoragePartitioning", "OptimizationHints", "NetworkTimeServiceQuerying", "AimEnabled", "PreconnectToSearch"]
FLAGS = [*book.FLAGS, "--disable-features=" + ",".join(UNWANTED)]

# The longest tables of the reference have a thousand rows, made by one line of code; axe looks at the first of each.
LIKE_THE_ROWS_BEFORE = "tbody > tr:nth-child(n + 61)"
# Until the letters are there, two frames are drawn, and whatever slides or fades has come to rest.
STILL = """async () => {
  await document.fonts.ready;
  const twice = () => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
  const moves = (one) => one.playState === "running" && Number.isFinite(one.effect.getComputedTiming().endTime);
  do await twice(); while (document.getAnimations().some(moves));
}"""
# Saving the whole handbook costs a fresh visitor more than all the rest; only what is about the saved copy waits for it.
SAVES_NOTHING = "if (window.ServiceWorkerContainer) ServiceWorkerContainer.prototype.register = () => new Promise(() => {});"

# Address of every page that a reader acts on: chapters, drills and cases.
CHAPTERS = sorted(path.relative_to(ROOT / "kb").with_suffix(".html").as_posix()
                  for pattern in ("*.md", "drills/*.md", "cases/*.md") for path in (ROOT / "kb").glob(pattern))

# Pages that are kept as pictures in every view, and of them one of each kind, at which axe looks in every view.
PICTURED = [*sorted(path.stem + ".html" for path in (ROOT / "kb").glob("*.md")), "cases/newborn.html", "drills/hypotension.html",
            "reference/formulas.html", "reference/verification.html", "reference/tables.html", "reference/series.html", "404.html"]
KINDS = ["indications.html", "sizing.html", "plan.html", "drills/hypotension.html", "reference/series.html"]

# Width, touch and colour scheme that every page must stand.
VIEWS = {
    "phone-light": {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "color_scheme": "light"},
    "phone-dark": {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True, "color_scheme": "dark"},
    "desktop-light": {"viewport": {"width": 1280, "height": 800}, "color_scheme": "light"},
    "desktop-dark": {"viewport": {"width": 1280, "height": 800}, "color_scheme": "dark"},
}


@dataclass
class Visit:
    """One page in one view. `troubles` gathers console messages, script errors, failed and outside requests."""

    page: object
    address: str
    view: str
    troubles: list[str] = field(default_factory=list)

    def __post_init__(self):
        self.page.on("console", lambda message: self.troubles.append(f"console {message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.troubles.append(f"script error: {error}"))
        self.page.on("requestfailed", self._failed)
        self.page.on("request", self._outside)
        self.page.on("response", self._refused)

    def _failed(self, request):
        if request.failure != "net::ERR_ABORTED":  # given up because the reader went on to another page
            self.troubles.append(f"failed: {request.url} {request.failure}")

    def _outside(self, request):
        if not request.url.startswith((self.address, "data:", "blob:" + self.address)):
            self.troubles.append(f"outside request: {request.url}")

    def _refused(self, response):
        if response.status >= 400:
            self.troubles.append(f"status {response.status}: {response.url}")

    def open(self, path: str) -> "Visit":
        """Open a page of the site and wait until it is quiet."""
        self.page.goto(self.address + path, wait_until="load")
        self.page.wait_for_function("document.documentElement.classList.contains('js')")
        return self.still()

    def still(self) -> "Visit":
        """Wait until nothing on the page moves."""
        self.page.evaluate(STILL)
        return self

    def resize(self, width: int, height: int) -> "Visit":
        """Give the window another size."""
        self.page.set_viewport_size({"width": width, "height": height})
        return self.still()

    def switch_colours(self) -> "Visit":
        """Press the switch between light and dark in the head of the page."""
        self.page.locator(".md-header__option label:not([hidden])").click()
        turned = {"light": "dark", "dark": "light"}
        device, colours = self.view.split("-")
        self.view = f"{device}-{turned[colours]}"
        return self.still()

    def picture(self, name: str, whole: bool = True) -> Path:
        """Keep a screenshot of the page, or of what is in sight, for a person to look at."""
        SCREENSHOTS.mkdir(parents=True, exist_ok=True)
        path = SCREENSHOTS / f"{name}-{self.view}.jpg"
        window = self.page.viewport_size
        if whole:
            # The longest pages are hundreds of screens; their beginning shows what there is to see. A window that is tall
            # enough is painted in half the time of a page that is stitched together.
            height = self.page.evaluate("document.documentElement.scrollHeight")
            self.resize(window["width"], min(max(height, window["height"]), MOST_PICTURED_PX))
        self.page.screenshot(path=path, type="jpeg", quality=80, animations="disabled")
        if whole:
            self.resize(**window)
        return path

    def too_wide(self) -> int:
        """Pixels that the page itself scrolls sideways; 0 is wanted."""
        return self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")

    def reaching_out(self) -> list[str]:
        """What stands beyond the right edge of the window, for the message of a failure."""
        return self.page.evaluate("""[...document.querySelectorAll('body *')]
            .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
            .map((one) => `${one.tagName}.${one.className} ${one.textContent.trim().slice(0, 40)}`).slice(0, 5)""")

    def small_targets(self, least: int = 44) -> list[str]:
        """Controls in sight that are lower than `least` CSS pixels (links inside a sentence are exempt)."""
        return self.page.evaluate("""(least) => [...document.querySelectorAll(
              '.try :is(input:not([type=checkbox], [type=radio]), select, button), .filter select, summary, .first-minute, ' +
              '.md-header .press, .md-header__option label:not([hidden])')]
            .filter((control) => control.checkVisibility() && control.getBoundingClientRect().height > 0)
            .filter((control) => control.getBoundingClientRect().height < least - 0.5)
            .map((control) => control.outerHTML.slice(0, 120))""", least)

    def axe(self, within: str = "html") -> list[str]:
        """Accessibility faults found by axe-core, which the browser runs past the site's policy."""
        self.page.evaluate(AXE.read_text(encoding="utf-8"))
        # The size of targets is the one rule of WCAG 2.2 that axe leaves out unless it is asked.
        found = self.page.evaluate("""([within, left]) => axe.run({include: [[within]], exclude: [[left]]}, {resultTypes: ['violations'], rules: {'target-size': {enabled: true}}})
            .then((result) => result.violations)""", [within, LIKE_THE_ROWS_BEFORE])
        return [f"{fault['id']}: {fault['help']}: {node['target']} {node['failureSummary']}"
                for fault in found for node in fault["nodes"]]


def picture_name(path: str) -> str:
    """Name of the pictures of a page of the handbook."""
    return "page-" + path.replace("/", "-").split(".")[0]


@contextmanager
def visiting(browser, address, view, saves=False, **options):
    """A fresh visitor with nothing stored, who asked for no motion, so that no test waits for what slides or fades.

    With `saves` the whole handbook is kept on the device, as on a reader's.
    """
    context = browser.new_context(**{"reduced_motion": "reduce", **VIEWS[view], **options})
    if not saves:
        context.add_init_script(SAVES_NOTHING)
    try:
        yield Visit(context.new_page(), address, view)
    finally:
        context.close()
