"""The audit of a programme: rows of an audit file in, one result out, the same on a page and in a terminal.

An `Audit` goes in pieces, so that a page stays alive and can be stopped: the file is parted into rows and
the rows checked some at a time, then each part of the result is computed by itself. Nothing is guessed: what is blank is
not known, and is counted as that.
"""

from pvcalc.audit import counts, over_time
from pvcalc.audit.caveats import sentences
from pvcalc.audit.csv_file import File, fault_words
from pvcalc.audit.definitions import Judge
from pvcalc.audit.rows import Reader, case_of, day_number, together
from pvcalc.audit.words import SECTIONS
from pvcalc.core.errors import NotUnderstood, Refusal
from pvcalc.core.formula import shortened
from pvcalc.core.sorting import sorted_soon
from pvcalc.core.units import label_of, read_number
from pvcalc.decision.binding import bound_data

MOST_ROWS_OF_A_PAGE = 5000
OUTER_CONFIDENCE = 0.998  # the wide limits of a funnel
ERRORS = 0.1  # alpha and beta of a chart when nobody chooses others; they are printed with it
FUNNEL_MEASURES = ("serious",)


def completed(options):
    """The options with what may stand in by itself: the errors of a chart and the kind of gradient, never a rate."""
    made = {"alpha": ERRORS, "beta": ERRORS, "quantity": "catheter"}
    for name in options:
        if options[name] is not None:
            made[name] = options[name]
    return made


class Audit:
    """One audit of one file.

    Attributes:
        cases: good rows so far (`audit_rows.case_of`).
        bad: faults of rows so far (`audit_csv.fault`); bad_lines: how many rows they concern.
        file: the file (`audit_csv.File`).
        result: what `compute` has made so far.
    """

    def __init__(self, data, schema, text, options, today=None):
        """Find the file's header.

        Args:
            data: settings, tables, series and statistics of the handbook; schema: the column schema;
            text: the file; options: see `audit_follow.options_of`; today: day number of the reader's day, beyond which a date is a fault, or None.
        Raises: Refusal when the options contradict each other or the file as a whole cannot be read.
        """
        self.data, self.options = bound_data(data), completed(options)
        self.today = today
        self.wanted = over_time.options_of(self.options)
        self.file = File(text, schema)
        self.reader, self.judge = Reader(schema, self.file.header), Judge(self.data["tables"], self.options["quantity"])
        self.cases, self.groups, self.result = [], {}, {}
        self.bad, self.bad_lines, self.told = self.file.bad, 0, 0
        self.steps = [self._order, self._rates, self._definitions, self._benchmarks, self._charts, self._follow_up, self._rest]

    def check(self, most):
        """Look at up to `most` more rows. Returns False when the end of the file was reached."""
        before = len(self.bad)
        cases = []
        for line, cells in self.file.take(most):
            values, wrong = self.reader.values(line, cells)
            wrong += together(line, values, [one["column"] for one in wrong], self.today)
            if wrong:
                self.bad += wrong
            else:
                cases.append(case_of(line, values, self.judge))
        self.bad_lines += len(set([one["line"] for one in self.bad[before:]]))
        self.cases += cases
        counts.add_groups(self.groups, cases)
        return not self.file.done()

    def faults(self, most):
        """Up to `most` further faults as sentences, in the order they were found."""
        end = min(len(self.bad), self.told + most)
        words = [fault_words(one) for one in self.bad[self.told:end]]
        self.told = end
        return words

    def own(self):
        """The unit's own counts for a family, of the good rows so far: {field of the plan: count}; what nobody knows is left out."""
        found = {}
        for name, happened in (("own_deaths", lambda case: {"yes": True, "no": False}.get(case.get("died"))),
                               ("own_leak", lambda case: counts.outcome(case, "leak") if case["performed"] == "yes" else None),
                               ("own_again", lambda case: case["again"] == 1 if "again" in case else None)):
            known = [value for value in [happened(case) for case in self.cases] if value is not None]
            if known:
                found[name + "_count"], found[name + "_cases"] = len([value for value in known if value]), len(known)
        return found

    def compute(self):
        """Make the next part of the result. Returns how many parts are left.

        Raises: NotUnderstood when no row is good.
        """
        if not self.cases:
            raise NotUnderstood([("", "No row of the file is good: there is nothing to count.")])
        if self.steps:
            self.steps.pop(0)()
        return len(self.steps)

    def _order(self):
        self.cases = sorted_soon(self.cases, key=lambda case: (case["day"], case["line"]))
        self.grouped = [self.groups[key] for key in self.groups]
        self.result = {
            "cases": len(self.cases), "left_out": self.bad_lines, "absent": self.file.absent, "options": self.options,
            "confidence": self.data["settings"]["interval_confidence"], "outer_confidence": OUTER_CONFIDENCE,
            "first_day": self.cases[0]["day"], "last_day": self.cases[-1]["day"],
            "strata": counts.strata(self.grouped),
        }

    def _rates(self):
        self.result["rates"] = counts.rates(self.grouped, self.result["confidence"])

    def _definitions(self):
        self.result["definitions"] = counts.definitions(self.grouped, self.data["tables"], self.result["confidence"])

    def _benchmarks(self):
        self.result["benchmarks"] = counts.benchmarks(
            self.data, counts.bad_counts(self.result["rates"], self.result["definitions"]), self.result["confidence"], OUTER_CONFIDENCE)

    def _charts(self):
        self.result["charts"] = [over_time.chart(self.cases, chart) for chart in self.wanted]

    def _follow_up(self):
        self.result["follow_up"] = over_time.follow_up(self.data, self.cases, self.result["confidence"])

    def _rest(self):
        self.result["years"] = [(measure, counts.by_year(self.cases, measure)) for measure in FUNNEL_MEASURES]
        self.result["reasons"] = counts.reasons_words(self.cases)
        self.result["medians"] = counts.medians(self.cases)
        self.result["cannot_show"] = sentences(self.result)


def audit(data, schema, text, options):
    """A whole audit at once: the finished `Audit`; without a good row its result is empty.

    Args and raises: as for `Audit`.
    """
    made = Audit(data, schema, text, options)
    while made.check(MOST_ROWS_OF_A_PAGE):
        pass
    while made.cases and made.compute():
        pass
    return made


def typed(options):
    """Options of a page: rates as a person types them, blank ones left out.

    Raises: NotUnderstood naming every one that is no number.
    """
    made, faults = {}, []
    for name in sorted(options):
        value = options[name]
        if isinstance(value, str) and (name.endswith("fraction") or name in ("alpha", "beta")):
            number, reason = read_number(value)
            if reason and reason != "is blank":
                faults.append((name, label_of(name) + " “" + shortened(value) + "” " + reason + "."))
            value = number
        if value is not None and value != "":
            made[name] = value
    if faults:
        raise NotUnderstood(faults)
    return made


def drawn(wanted, place):
    """One picture of a section: (SVG text, ""), or ("", a sentence) when it cannot be drawn.

    Args:
        wanted: a request out of a section's `pictures`; place: identifier of the picture on its page.
    Whatever keeps a picture from being drawn is told in its place: the counts stand without it.
    """
    from pvcalc.draw import svg, audit as draw_audit, curve  # noqa: F401  they declare the pictures
    try:
        return svg.picture(wanted["name"], wanted["given"], place), ""
    except Refusal as refusal:
        reason = " ".join([sentence for _, sentence in refusal.faults])
    except Exception as error:  # a fault of ours in a picture must not take the numbers with it
        reason = type(error).__name__ + ": " + str(error) + "."
    return "", "The picture " + wanted["name"].replace("_", " ") + " could not be drawn; the numbers stand. " + reason


OPEN = []  # the audit of the page that asks, in pieces; the rows stay here and cross no border twice


def answer(data, request):
    """One step of an audit on a page.

    Args:
        data: the handbook's data.
        request: `step`, and what it needs: "open" (`schema`, `text`, `options`), "check" (`rows`: how many), "faults"
            (`most`), "own" (the unit's own counts for a family), "compute", "section" (`number`), "picture" (`section`, `number`, `place`), "close".
    Returns a dict with `ok`: after "open" `rows`; after "check" `left` (true or false), `good` and `bad_lines`; "compute" `left`; "faults" `told` and `left`;
        "section" `section` with `pictures` counted, and `left`; "picture" `picture` (SVG text), or
        `sentence` when it could not be drawn.
    Raises: Refusal.
    """
    step = request["step"]
    if step == "open":
        OPEN.clear()
        made = Audit(data, request["schema"], request["text"], typed(request["options"]), day_number(request.get("today") or "")[0])
        count = made.file.lines_left()
        if count > MOST_ROWS_OF_A_PAGE:
            raise NotUnderstood([("", "The file has " + str(count) + " rows; a page takes " + str(MOST_ROWS_OF_A_PAGE)
                                  + ". Use the command line: python -m pvcalc audit FILE.csv --out DIR.")])
        OPEN.append(made)
        return {"ok": True, "rows": count}
    if step == "close":
        OPEN.clear()
        return {"ok": True}
    if not OPEN:
        raise NotUnderstood([("", "The file is no longer open; choose it again.")])
    made = OPEN[0]
    if step == "check":
        more = made.check(request["rows"])
        return {"ok": True, "left": more, "good": len(made.cases), "bad_lines": made.bad_lines}
    if step == "faults":
        return {"ok": True, "told": made.faults(request["most"]), "left": len(made.bad) - made.told}
    if step == "compute":
        return {"ok": True, "left": made.compute()}
    if step == "own":
        return {"ok": True, "own": made.own()}
    if made.steps:
        raise NotUnderstood([("", "The file is not counted yet.")])
    section = SECTIONS[request["section"]](made.result)
    if step == "picture":
        picture, sentence = drawn(section["pictures"][request["number"]], request["place"])
        return {"ok": True, "picture": picture, "sentence": sentence}
    section["pictures"] = len(section["pictures"])
    return {"ok": True, "section": section, "left": len(SECTIONS) - request["section"] - 1}
