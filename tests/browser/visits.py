"""Opening pages in Chromium and holding everything against them that went wrong."""

from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).parents[2]
SCREENSHOTS = ROOT / "build" / "screenshots"
AXE = ROOT / "pvcalc" / "handbook" / "engine" / "node_modules" / "axe-core" / "axe.min.js"
MOST_PICTURED_PX = 6000
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]

# Address of every page that a reader acts on: chapters, drills and cases.
CHAPTERS = sorted(path.relative_to(ROOT / "kb").with_suffix(".html").as_posix()
                  for pattern in ("*.md", "drills/*.md", "cases/*.md") for path in (ROOT / "kb").glob(pattern))

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
        self.page.evaluate("document.fonts.ready.then(() => new Promise((quiet) => requestAnimationFrame(() => requestAnimationFrame(quiet))))")
        return self

    def picture(self, name: str, whole: bool = True) -> Path:
        """Keep a screenshot of the whole page, or of what is in sight, for a person to look at."""
        SCREENSHOTS.mkdir(parents=True, exist_ok=True)
        path = SCREENSHOTS / f"{name}-{self.view}.jpg"
        width, height = self.page.evaluate("[document.documentElement.clientWidth, document.documentElement.scrollHeight]")
        # The longest pages are hundreds of screens; their beginning shows what there is to see, and painting takes long.
        part = {"clip": {"x": 0, "y": 0, "width": width, "height": min(height, MOST_PICTURED_PX)}} if whole else {}
        self.page.screenshot(path=path, type="jpeg", quality=80, full_page=whole, animations="disabled", **part)
        return path

    def too_wide(self) -> int:
        """Pixels that the page itself scrolls sideways; 0 is wanted."""
        return self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")

    def small_targets(self, least: int = 44) -> list[str]:
        """Controls in sight that are lower than `least` CSS pixels (links inside a sentence are exempt)."""
        return self.page.evaluate("""(least) => [...document.querySelectorAll(
              '.try :is(input:not([type=checkbox], [type=radio]), select, button), .filter select, summary, .first-minute, ' +
              '.md-header .press, .md-header__option label:not([hidden])')]
            .filter((control) => control.checkVisibility() && control.getBoundingClientRect().height > 0)
            .filter((control) => control.getBoundingClientRect().height < least - 0.5)
            .map((control) => control.outerHTML.slice(0, 120))""", least)

    def axe(self) -> list[str]:
        """Accessibility faults found by axe-core; the visit must have been opened with `policy=False`."""
        self.page.evaluate(AXE.read_text(encoding="utf-8"))
        # The size of targets is the one rule of WCAG 2.2 that axe leaves out unless it is asked.
        found = self.page.evaluate("""axe.run(document, {resultTypes: ['violations'], rules: {'target-size': {enabled: true}}})
            .then((result) => result.violations)""")
        return [f"{fault['id']}: {fault['help']}: {node['target']} {node['failureSummary']}"
                for fault in found for node in fault["nodes"]]


@contextmanager
def visiting(browser, address, view, policy=True, **options):
    """A fresh visitor with nothing stored. `policy=False` lets axe be injected past the site's policy."""
    context = browser.new_context(bypass_csp=not policy, **{**VIEWS[view], **options})
    try:
        yield Visit(context.new_page(), address, view)
    finally:
        context.close()
