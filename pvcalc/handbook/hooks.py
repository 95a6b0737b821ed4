"""MkDocs hooks: what they call stands in the rooms beside this file."""

import importlib
import os
import re
import sys
import time
from pathlib import Path

from mkdocs.exceptions import PluginError
from mkdocs.plugins import event_priority
from mkdocs.structure.files import File, InclusionLevel

RAW_MARKS = ("[@", "[=", "```formula", "```table", "```printed", "```picture", "```generated", "```plan", "```doses", "```brief")


def on_config(config, **_):
    """Read modules and data afresh, so that a preview never shows a number of an older file."""
    for name in [name for name in sys.modules if name == "pvcalc" or name.startswith("pvcalc.")]:
        del sys.modules[name]
    importlib.invalidate_caches()
    project = importlib.import_module("pvcalc.handbook.data.project")
    root = Path(config["config_file_path"]).parent
    loaded = project.load(root)
    found = loaded.findings + _heads(root, loaded.chapters)
    if found:
        raise Stopped(found)
    config["markdown_extensions"] = [name for name in config["markdown_extensions"] if name != "pvcalc.handbook.authoring.extension"]
    authoring = importlib.import_module("pvcalc.handbook.authoring.extension")
    config["markdown_extensions"].append(authoring.Handbook(root=str(root)))
    config["markdown_extensions"][-1].stop = Stopped
    assets = importlib.import_module("pvcalc.handbook.publish.assets")
    made = assets.files(loaded)
    config["extra"]["build"] = assets.build_of(made)
    config["extra"]["engine_files"] = made
    config["extra"]["offline_warning_days"] = loaded.data.value("offline_warning_days")
    return config


class Stopped(PluginError):
    """Faults of authors or data: MkDocs prints these lines, and no traceback in front of them."""

    def __init__(self, findings):
        super().__init__("\n" + "\n".join(str(finding) for finding in findings))


def _heads(root, chapters):
    """Faults of what stands before the text of each chapter, and of its encoding: MkDocs cuts the one off and stumbles over the other."""
    from pvcalc.handbook.authoring import front_matter
    from pvcalc.handbook.data.findings import AuthorFaults
    found = []
    for path in chapters:
        try:
            front_matter.source(root, path)
        except AuthorFaults as faults:
            found += faults.findings
    return found


def on_files(files, config, **_):
    """Add the expert cases and the cited works as data, and a reviewer's worksheet for every chapter: a page, and a CSV file filled in `on_env`."""
    from pvcalc.handbook.checks import expected, worksheet_rows
    from pvcalc.handbook.data import project
    from pvcalc.handbook.publish import citations
    loaded = project.of(Path(config["config_file_path"]).parent)
    made = expected.files(loaded.root) + citations.files(loaded) + worksheet_rows.page_sources(loaded) + [(path, "") for path, _ in worksheet_rows.sheets(loaded)]
    for path, content in made:
        files.append(File.generated(config, path, content=content, inclusion=InclusionLevel.NOT_IN_NAV))
    return files


def on_env(env, config, files, **_):
    """Fill the CSV files now that every chapter was converted: none is converted twice."""
    from pvcalc.handbook.checks import worksheet_rows
    from pvcalc.handbook.data import project
    loaded = project.of(Path(config["config_file_path"]).parent)
    for path, slug in worksheet_rows.sheets(loaded):
        files.get_file_from_path(path).content_string = worksheet_rows.as_csv(loaded, slug)
    return env


VERSIONED = re.compile(r'((?:href|src)="[^"]*?(?:css|js)/[\w.-]+\.(?:css|js))"')
# What a page loads only when it holds the mark: a phone with one bar waits for every kilobyte.
DOSES = ('class="doses', "data-plan=")  # the case plan shows the same sheets
ONLY_WITH = {
    "js/plan.js": "data-plan=", "css/plan.css": 'class="plan', "js/audit.js": "data-audit", "css/audit.css": "data-audit",
    "js/doses.js": DOSES, "css/doses.css": DOSES,
    "js/filter.js": "data-filters=", "js/show.js": "data-try=", "js/try.js": "data-try=",
    "assets/_mkdocstrings.css": 'class="doc ',
}


def on_post_page(output, config, **_):
    """A page loads only what it uses, and under the address of its build: a saved page never meets a newer one's looks."""
    for name, mark in ONLY_WITH.items():
        if not any(one in output for one in ([mark] if isinstance(mark, str) else mark)):
            output = re.sub(rf'<(?:script[^>]*src|link[^>]*href)="[^"]*{re.escape(name)}"[^>]*>(?:</script>)?', "", output)
    from pvcalc.handbook.publish import minify
    return VERSIONED.sub(rf'\1?v={config["extra"]["build"]}"', minify.unspaced(output))


@event_priority(-100)  # after the search index is written
def on_post_build(config, **_):
    """Put the engine and the math font beside the pages they were made for, then list every file for offline use."""
    from pvcalc.handbook.data import catalogue
    from pvcalc.handbook.publish import assets, minify, mathfont, offline, search_index, textfont, theme_patches
    site = Path(config["site_dir"])
    assets.write(config["extra"]["engine_files"], site)
    mathfont.publish(site)
    textfont.publish(site)
    theme_patches.mend(site)
    minify.publish(site)
    search_index.trim(site, catalogue.load(), Path(config["config_file_path"]).parent)
    offline.write(site, int(os.environ.get("SOURCE_DATE_EPOCH") or time.time()))


def _extension(config):
    return next(one for one in config["markdown_extensions"] if type(one).__name__ == "Handbook")


def on_page_markdown(markdown, page, config, **_):
    """Tell the extension which file comes next, and where its text starts in that file."""
    from pvcalc.handbook.authoring import front_matter
    first = front_matter.first_line(page.file.content_string)
    _extension(config).announce("kb/" + page.file.src_uri, first)
    return markdown


def on_page_content(html, page, config, **_):
    """Stop the build on a mark left raw; add what the page says of its signature and of its review."""
    for mark in RAW_MARKS:
        if mark in html and "<code" not in html.split(mark)[0][-40:]:
            raise PluginError(f"kb/{page.file.src_uri}: “{mark}” was left raw on the page")
    from pvcalc.handbook.data import project
    from pvcalc.handbook.publish import theme_patches
    from pvcalc.handbook.reference import signatures_page
    loaded, finished = project.of(Path(config["config_file_path"]).parent), _extension(config).finished
    loaded.converted[finished.slug] = finished
    page.standing = signatures_page.standing_of_page(loaded, finished, page.file.content_string)  # for the templates
    return theme_patches.spaced(html + signatures_page.page_status(finished, page.standing))
