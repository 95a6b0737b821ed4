"""Everything that hangs on the wall, in one page that prints at once: the dose sheets of every weight, then every drill."""

import re

from pvcalc.handbook.authoring import dose_sheets, front_matter
from pvcalc.handbook.engine import needs

DRILLS = "kb/drills"
# On the wall nothing is tapped, and each name may stand on one element only.
UNTAPPED = re.compile(r"</?a\b[^>]*>|\s(?:id|data-doses)=(?:\"[^\"]*\"|'[^']*')")
# The page has its own title: a drill's is one step lower there.
LOWER = re.compile(r"(</?)h1(?=[\s>])")
WORKS = re.compile(r'<h2[^>]*>Sources</h2>.*', re.S)


def sheets(writer):
    """The HTML of all sheets: doses by weight, then the drills in the order of their files."""
    if writer.page.draft:
        return ""
    data = needs.engine_data(writer.project)
    made = "".join(dose_sheets.sheets_html(data, patient) for patient in dose_sheets.wall_patients(data["settings"]))
    drills = [path for path in sorted((writer.project.root / DRILLS).glob("*.md")) if path.stem != "index"]
    return (f'<details class="wall" data-search-exclude=""><summary>What is printed: dose sheets of every weight, and {len(drills)} drills</summary>'
            f'<div class="doses doses--page doses--wall">{made}</div>{"".join(drill(writer, path) for path in drills)}</details>')


def drill(writer, path):
    """One drill as it hangs on the wall."""
    root = writer.project.root
    html, _ = writer.convert(root, *front_matter.source(root, path))
    hung = UNTAPPED.sub("", LOWER.sub(r"\1h2", WORKS.sub("", html)))
    return f'<section class="wall__drill">{hung}</section>'
