"""An audit in both interpreters, step by step as a page asks for it."""

import json
import os
import re

from pvcalc.handbook.engine import needs
from pvcalc.handbook.engine.process import Engine
from pvcalc.page import bridge
from tests.helpers.audit_files import CHART, DEMO, SCHEMA, random_file, rows_of, text_of

SEMICOLONS = 8  # a random file with decimal commas
# A report takes the engine about a second.
IN_ENGINE = (SEMICOLONS, *range(7)) if os.environ.get("HYPOTHESIS_PROFILE") == "bench" else (SEMICOLONS,)


def test_both_interpreters_give_the_same_report(loaded):
    """The demo, a file with semicolons and decimal commas and one with bad rows in `make check`; seven random ones and these in `make bench`."""
    text = needs.data_text(loaded)
    bridge.start([], text)
    files = [DEMO] + [random_file(number)[0] for number in IN_ENGINE] + [text_of(rows_of(5, 8)).replace("yes", "perhaps")]
    assert files[1].startswith("attempt;") and re.search(r";\d+,\d;", files[1])
    steps = [{"step": "faults", "most": 400}] + [{"step": "compute"}] * 7 + [{"step": "section", "section": place} for place in range(9)]
    steps += [{"step": "picture", "section": 4, "number": 0, "place": "x"}, {"step": "picture", "section": 5, "number": 0, "place": "y"},
              {"step": "picture", "section": 6, "number": 0, "place": "z"}, {"step": "close"}, {"step": "compute"}]
    with Engine(data=text) as engine:
        for number, content in enumerate(files):
            asked = [{"step": "open", "schema": SCHEMA, "text": content, "options": CHART}, *[{"step": "check", "rows": 40}] * 4, *steps]
            for step in asked:
                if step["step"] == "picture" and number not in (0, 1):
                    continue  # a file may be too small to be drawn
                request = json.dumps({"op": "audit", **step})
                here, there = json.loads(bridge.reply(request)), json.loads(engine.reply(request))
                assert here == there, (number, step["step"], step.get("section"))
                if number == 0 and step is not asked[-1]:
                    assert here["ok"], here
            assert here["faults"] == [["", "The file is no longer open; choose it again."]]
