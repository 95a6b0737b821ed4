"""Fixtures of the browser tests: Chromium, the sampler of the theme, the handbook itself."""

import logging
import os
import shutil
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from playwright.sync_api import sync_playwright

from pvcalc.handbook.publish import mathfont, textfont
from tests.browser.serving import Server
from tests.browser.visits import AXE, FLAGS, ROOT, VIEWS, visiting

SAMPLER = Path(__file__).parent / "sampler"
SAMPLER_NAV = ["index.md", "blocks.md", "tables.md", "code.md", {"Drills": ["drills/index.md"]}]
PLAIN_EXTENSIONS = ["abbr", "admonition", "attr_list", "def_list", "md_in_html", "tables", "pymdownx.details",
                    "pymdownx.superfences", {"toc": {"permalink": "§"}}, {"pymdownx.highlight": {"use_pygments": True}}]


@pytest.fixture(scope="session")
def browser(chromium):
    """The machine's Chromium, driven by playwright, which never uses a download of its own."""
    if not AXE.exists():
        pytest.fail("axe-core is not installed: run `make setup`.", pytrace=False)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield running
        running.close()


def _built(site_dir, **changes):
    """Build strictly into `site_dir` with the project's own configuration, changed where told."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    logging.getLogger("mkdocs").setLevel(logging.WARNING)
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(site_dir), **changes)
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    return site_dir


@pytest.fixture(scope="session")
def sampler_site(tmp_path_factory):
    """The theme on pages of its own, without the chapters."""
    site = tmp_path_factory.mktemp("sampler")
    # Without the hook there is no engine and no service worker, so their scripts stay out too.
    _built(site, docs_dir=str(SAMPLER), nav=SAMPLER_NAV, hooks=[], markdown_extensions=PLAIN_EXTENSIONS,
           extra_javascript=["js/shell.js"])
    if not mathfont.FONT.exists():
        mathfont.write()
    (site / "fonts").mkdir(exist_ok=True)
    shutil.copyfile(mathfont.FONT, site / "fonts" / "math.woff2")  # the hook does this for the handbook
    textfont.publish(site)
    return site


@pytest.fixture(scope="session")
def sampler(sampler_site):
    """Address of the sampler."""
    with Server(sampler_site) as server:
        yield server.address


@pytest.fixture(scope="session")
def handbook(built_site):
    """Address of the handbook."""
    with Server(built_site) as server:
        yield server.address


@pytest.fixture(scope="session")
def every_page(built_site):
    """Addresses of all pages; of the worksheets, made by one template from one kind of row, the longest and the shortest."""
    found = sorted(path.relative_to(built_site).as_posix() for path in built_site.rglob("*.html"))
    assert len(found) > 50
    sheets = sorted((name for name in found if name.startswith("worksheets/")), key=lambda name: (built_site / name).stat().st_size)
    return [name for name in found if name not in sheets[1:-1]]


@pytest.fixture(params=sorted(VIEWS))
def view(request):
    """Phone and desktop, light and dark."""
    return request.param


@pytest.fixture
def visit(browser):
    """`with visit(address, view) as seen:` opens a fresh visitor."""
    return lambda address, view="desktop-light", **options: visiting(browser, address, view, **options)
