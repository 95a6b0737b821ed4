"""HTML validity of every built page, judged by html-validate; what the pinned theme itself gets wrong is listed and counted.

Run by `make gates` as `python tests/gates/html.py SITE`. Rules of taste (blanks at line ends, length of titles, a search
form without a button) are off in htmlvalidate.json; accessibility is axe's task.
"""

import json
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

HERE = Path(__file__).parent
# (rule, part of the selector or message) of faults in the theme's own templates; each must still occur, or it goes from here.
THEME = [("attribute-allowed-values", 'Attribute "tabindex" has invalid value ""'),
         ("valid-autocomplete", "cannot be used on <input type=\"checkbox\">")]


def judged(site: Path) -> list[tuple[str, int, str, str]]:
    """(page, line, rule, message) of every finding."""
    pages = sorted(str(path) for path in site.rglob("*.html"))
    with tempfile.TemporaryFile() as answer:  # not a pipe: node ends before a long answer is through it
        done = subprocess.run([str(HERE / "node_modules" / ".bin" / "html-validate"), "-f", "json", "-c", str(HERE / "htmlvalidate.json"),
                               *pages], stdout=answer, stderr=subprocess.PIPE)
        answer.seek(0)
        text = answer.read().decode("utf-8")
    if not text.strip():
        sys.exit(f"html-validate gave no answer: {done.stderr.decode()[-800:]}")
    return [(Path(page["filePath"]).relative_to(site.resolve()).as_posix(), fault["line"], fault["ruleId"], fault["message"])
            for page in json.loads(text) for fault in page["messages"]]


def main(arguments) -> int:
    site = Path(arguments[0]).resolve()
    excused, faults = Counter(), []
    for page, line, rule, message in judged(site):
        known = [pair for pair in THEME if pair[0] == rule and pair[1] in message]
        if known:
            excused[known[0]] += 1
        else:
            faults.append(f"{page}:{line}: {rule}: {message}")
    faults += [f"the theme no longer shows “{words}”: take it off the list in tests/gates/html.py" for rule, words in THEME
               if not excused[rule, words]]
    print(f"HTML: {len(list(site.rglob('*.html')))} pages, {len(faults)} faults; of the theme, excused: {sum(excused.values())}")
    for fault in faults[:30]:
        print("  " + fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
