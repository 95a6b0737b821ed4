"""A formula, its limits, and the examples printed for it elsewhere.

`@formula` turns a short function into a `Formula`: a callable that checks every input, collects all
faults, and refuses a result that is not finite. `printed` records an example that somebody else
published. Both are data, readable by the tests, the site and the reader's browser.
"""

import math

from pvcalc.core.errors import MissingInput, NoResult, NotUnderstood, OutOfRange, Refusal, UnknownName
from pvcalc.core.units import (
    BLANKS, is_number, label_of, read_number, show, show_input, show_named, trimmed, unit_of, with_unit,
)

FORMULAS = []  # in the order of import
PRINTED = []

SEEN = ("read", "second", "memory", "practice", "derived")
SEEN_WORDS = {"memory": "recalled", "second": "read second-hand"}  # the others are said as they are
KINDS = ("published", "derived", "other-software", "identity")


def seen_words(seen):
    """How far something was seen, for the reader."""
    return SEEN_WORDS.get(seen, seen)


class Limit:
    """What one argument may be.

    Attributes:
        kind: "number", "whole", "choice", "flag", "list" or "records".
        low, high: inclusive bounds of a number, of a whole number or of each member of a list.
        choices: the allowed words of a choice.
        least, most: how many members a list may have.
    """

    def __init__(self, kind, low=None, high=None, choices=(), least=1, most=None):
        self.kind = kind
        self.low = low
        self.high = high
        self.choices = choices
        self.least = least
        self.most = most


def whole(low, high):
    """A whole number from `low` to `high`."""
    return Limit("whole", low, high)


def choices(*words):
    """One of these words; a choice never has a default."""
    return Limit("choice", choices=words)


def flag():
    """Yes or no, given as 1 or 0."""
    return Limit("flag", 0, 1)


def listed(low, high, least=1, most=20000):
    """A list of `least` to `most` numbers, each from `low` to `high`."""
    return Limit("list", low, high, least=least, most=most)


def records(least=1, most=200):
    """A list of `least` to `most` records (settings, a shelf); the formula reads their fields itself."""
    return Limit("records", least=least, most=most)


class Formula:
    """A checked function; call it with keyword arguments only.

    Attributes:
        name: the function's name, quantity plus unit suffix.
        source: key in the bibliography of the work the equation comes from, or "" when none is needed.
        seen: "read", "second" (in words not its own), "memory", "practice" or "derived": how far the equation and its coefficients were seen.
        limits: dict of argument name to `Limit`.
        limits_from: words for where the range comes from, shown in every refusal.
        asks: functions of the checked inputs that return a question, or "" when nothing is odd.
        gives: names of the results, when there are several.
        decimals: digits shown after the point, or None for those of the unit.
        columns: for a result that is a list of records, the fields a page shows, in order.
    """

    def __init__(self, function, source, seen, limits, limits_from, asks, gives, decimals, columns):
        self.function = function
        self.name = function.__name__
        self.source = source
        self.seen = seen
        self.limits = limits
        self.limits_from = limits_from
        self.asks = asks
        self.gives = gives
        self.decimals = decimals
        self.columns = columns

    def __call__(self, **given):
        return self.computed(self.checked(given))

    def checked(self, given):
        """Inputs as plain numbers and words, or a refusal that names every fault.

        Args:
            given: dict of argument name to value.
        Raises: Refusal (a child of it when all faults are of one kind).
        """
        faults = []
        kinds = []
        inputs = {}
        for name in sorted(set(given) | set(self.limits)):
            if name not in self.limits:
                faults.append((name, unknown_sentence(name, self.name, self.limits)))
                kinds.append(NotUnderstood)
            elif given.get(name) is None:
                faults.append((name, _named(name) + " is missing."))
                kinds.append(MissingInput)
            else:
                value, kind, sentence = checked_value(name, given[name], self.limits[name], self.limits_from)
                if sentence:
                    faults.append((name, sentence))
                    kinds.append(kind)
                else:
                    inputs[name] = value
        if faults:
            raise (kinds[0] if len(set(kinds)) == 1 else Refusal)(faults)
        return inputs

    def computed(self, inputs):
        """Result for checked inputs: a finite number, or the list of (name, value) pairs of several results."""
        try:
            result = self.function(**inputs)
        except Refusal:
            raise
        except (ZeroDivisionError, OverflowError, ValueError):
            result = [("", math.nan)] if self.gives else math.nan
        if not self.gives:
            if not is_number(result):
                raise NoResult([("", "These inputs together give no finite " + label_of(self.name) + ".")])
            return result + 0.0
        for _, value in result:
            if not _usable(value):
                raise NoResult([("", "These inputs together give no finite " + label_of(self.name) + ".")])
        return result

    def questions(self, inputs):
        """Questions about inputs that are allowed but odd together, such as a weight that does not fit the height."""
        return [question for question in [ask(inputs) for ask in self.asks] if question]

    def shown(self, result):
        """The result in words: `22.1 mm`, or `low 22.1 mm, high 23.0 mm`."""
        if not self.gives:
            return show_named(result, self.name, self.decimals)
        return ", ".join([label_of(name) + " " + shown_value(name, value, self.decimals) for name, value in result])


def _usable(value):
    if is_number(value) or isinstance(value, str) or value is None or isinstance(value, bool):
        return True
    if isinstance(value, (list, tuple)):
        return all([_usable(member) for member in value])
    if isinstance(value, dict):
        return all([_usable(member) for member in value.values()])
    return False


def shown_value(name, value, decimals=None):
    """One named result in words; a long list is told by its length and its ends."""
    if isinstance(value, (list, tuple)):
        if not value:
            return "none"
        if is_number(value[0]):
            texts = [show_named(member, name, decimals) for member in value[:12]]
            rest = "" if len(value) <= 12 else " … (" + str(len(value)) + " values)"
            return "; ".join(texts) + rest
        return str(len(value)) + " rows"
    if is_number(value):
        return show_named(value, name, decimals)
    return "none" if value is None else str(value)


def formula(source, seen="read", limits_from="house limits", asks=(), gives=None, decimals=None, columns=None, **limits):
    """Declare a formula.

    Args:
        source: bibliography key of the equation; "" for arithmetic and geometry that need none.
        seen: how far the equation was seen; "memory" makes every result carry the word "recalled".
        limits_from: words for the origin of the ranges ("house limits", "range of lopez2017").
        asks: functions that question odd combinations of inputs.
        gives: names of several results, in order.
        decimals: digits shown, when the unit's own do not suit.
        columns: for each result that is a list of records, the names of the fields a page shows, in order.
        limits: for each argument a (low, high) pair, or `whole`, `choices`, `flag`, `listed`, `records`.
    """
    checked = {}
    for name, limit in limits.items():
        checked[name] = limit if isinstance(limit, Limit) else Limit("number", limit[0], limit[1])

    def declare(function):
        made = Formula(function, source, seen, checked, limits_from, asks, gives, decimals, columns or {})
        FORMULAS.append(made)
        return made

    return declare


class Printed:
    """One example as somebody printed it: inputs, the answer's own digits, where, and who has seen it."""

    def __init__(self, made, source, locator, answer, seen, fact, kind, differs, because, within, factor, result, inputs, member=None):
        self.formula = made
        self.source = source
        self.locator = locator
        self.answer = answer
        self.seen = seen
        self.fact = fact
        self.kind = kind
        self.differs = differs
        self.because = because
        self.within = within
        self.factor = factor
        self.result = result
        self.member = member
        self.inputs = inputs

    def tolerance(self):
        """Half the last printed digit, or the wider allowance that `because` explains."""
        if self.within is not None:
            return self.within
        decimals = len(self.answer.split(".")[1]) if "." in self.answer else 0
        return 0.5 / 10 ** decimals

    def computed(self):
        """Our answer in the unit of the print."""
        return self.picked(self.formula(**self.inputs))

    def picked(self, result):
        """Of the formula's result the number that was printed, in the unit of the print."""
        if self.result:
            for name, value in result:
                if name == self.result:
                    return (value if self.member is None else value[self.member - 1]) * self.factor
            raise UnknownName(self.formula.name + " gives no result called " + self.result)
        return result * self.factor

    def agrees(self, computed=None):
        """True only if our answer lies within the tolerance; a result that is not a number never agrees."""
        if computed is None:
            computed = self.computed()
        return abs(computed - float(self.answer)) <= self.tolerance() * (1 + 1e-9)


def printed(made, source, locator, answer="", seen="read", fact="", kind="published", differs="",
            because="", within=None, factor=1.0, result="", member=None, **inputs):
    """Record an example that was printed elsewhere.

    Args:
        made: the formula it checks.
        source: bibliography key.
        locator: page, table or figure.
        answer: the printed answer, digit for digit, as text.
        seen: "read", "second", "memory", "practice" or "derived" (worked out for this handbook, not printed in a source).
        fact: an identity of its own that pages and tests carry, a letter for the subject and a row, such as "B-W1".
        kind: "published", "derived", "other-software" or "identity".
        differs: why it does not reproduce; the test then asserts that it still does not.
        because: reason for a tolerance wider than half the last printed digit.
        within: size of that tolerance, in the unit of the print.
        factor: multiply our result by this to get the unit of the print.
        result: name of the result, when the formula gives several.
        member: of a result that is a list, which one was printed, counted from 1.
        inputs: the formula's arguments.
    """
    PRINTED.append(Printed(made, source, locator, answer, seen, fact, kind, differs, because, within, factor,
                           result, inputs, member))


def find(name):
    """The formula of this name.

    Raises: UnknownName with the nearest name.
    """
    for made in FORMULAS:
        if made.name == name:
            return made
    raise UnknownName("there is no formula called " + name + nearest_words(name, [made.name for made in FORMULAS]))


def shortened(text):
    """At most 24 characters of what was typed, to show it back."""
    for blank in BLANKS:
        text = text.replace(blank, " ")
    text = " ".join([part for part in text.split(" ") if part])
    return text if len(text) <= 24 else text[:24] + "…"


def from_text(text, limit):
    """What a reader typed, as the value `limit` asks for.

    Returns (value, "") or (None, reason): reason continues a sentence that starts with the field.
    """
    if limit.kind == "choice":
        return trimmed(text), ""
    if limit.kind == "flag" and trimmed(text) in ("yes", "no"):
        return 1 if trimmed(text) == "yes" else 0, ""
    if limit.kind == "list":
        values = []
        for mark in BLANKS + ";":
            text = text.replace(mark, " ")
        parts = text.split(" ")
        for part in [part for part in parts if part]:
            value, reason = read_number(part)
            if reason:
                return None, "holds “" + shortened(part) + "”, which " + reason
            values.append(value)
        return values, ""
    return read_number(text)


def run(name, given):
    """Compute one formula and say everything a page or a terminal shows about it.

    Args:
        name: formula name.
        given: dict of argument name to value; text is read as typed by a person.
    Returns a dict: `ok`, and either `value`, `shown`, `asks`, `held`, `seen`, or `faults` as (field, sentence) pairs.
    `asks` holds notes, such as a cap that applies, and questions; `held` is true when one is a question, and then
    the result waits until the person has looked again.
    Raises: UnknownName.
    """
    made = find(name)
    faults = []
    values = {}
    for field in sorted(given):
        value = typed = given[field]
        if isinstance(typed, str) and field in made.limits:
            value, reason = from_text(typed, made.limits[field])
            if reason and reason != "is blank":
                faults.append((field, _named(field) + " “" + shortened(typed) + "” " + reason + "."))
                continue
        if value is not None and value != "":
            values[field] = value
    try:
        inputs = made.checked(values)
    except Refusal as refusal:
        unread = [field for field, _ in faults]
        faults += [(field, sentence) for field, sentence in refusal.faults if field not in unread]
    if faults:
        return {"ok": False, "name": name, "faults": sorted(faults)}
    try:
        result = made.computed(inputs)
    except Refusal as refusal:
        return {"ok": False, "name": name, "faults": refusal.faults}
    asks = made.questions(inputs)
    return {"ok": True, "name": name, "value": result, "shown": made.shown(result), "asks": asks,
            "held": any(["?" in text for text in asks]), "seen": made.seen}


def checked_value(name, value, limit, limits_from):
    """One value held against its limit: (value, None, "") or (None, error class, sentence)."""
    if limit.kind == "choice":
        if value in limit.choices:
            return value, None, ""
        near = nearest_words(value, limit.choices) if isinstance(value, str) else ""
        return None, NotUnderstood, _named(name) + " must be chosen: " + listing(limit.choices) + near + "."
    if limit.kind == "list":
        return _checked_list(name, value, limit, limits_from)
    if limit.kind == "records":
        if isinstance(value, (list, tuple)) and limit.least <= len(value) <= limit.most:
            return value, None, ""
        return None, NotUnderstood, (_named(name) + " must be a list of " + str(limit.least) + " to "
                                     + str(limit.most) + " records.")
    if limit.kind == "flag":
        if value in (0, 1):
            return int(value), None, ""
        return None, NotUnderstood, _named(name) + " must be yes (1) or no (0)."
    if not is_number(value):
        return None, NotUnderstood, _named(name) + " must be a finite number."
    number = value + 0.0
    if limit.kind == "whole" and number != math.floor(number):
        return None, NotUnderstood, _named(name) + " must be a whole number, not " + show_input(number) + "."
    if not limit.low <= number <= limit.high:
        return None, OutOfRange, outside_sentence(name, number, limit, limits_from)
    return (int(number) if limit.kind == "whole" else number), None, ""


def _checked_list(name, values, limit, limits_from):
    if not isinstance(values, (list, tuple)):
        return None, NotUnderstood, _named(name) + " must be a list of numbers."
    if not limit.least <= len(values) <= limit.most:
        return None, NotUnderstood, (_named(name) + " must hold " + str(limit.least) + " to " + str(limit.most)
                                     + " numbers, not " + str(len(values)) + ".")
    numbers = []
    for place, value in enumerate(values):
        if not is_number(value):
            return None, NotUnderstood, _named(name) + ", number " + str(place + 1) + ", must be a finite number."
        if not limit.low <= value <= limit.high:
            sentence = outside_sentence(name, value, limit, limits_from)
            return None, OutOfRange, "Number " + str(place + 1) + " of the list: " + sentence
        numbers.append(value + 0.0)
    return numbers, None, ""


def outside_sentence(name, number, limit, limits_from):
    """Field, value, what is allowed with its source, and the likely slip."""
    return (_named(name) + " " + with_unit(show_input(number), name) + " is outside " + range_words(name, limit)
            + " (" + limits_from + ")" + (slip_words(name, number, limit) or "."))


def range_words(name, limit):
    """`3 to 45 mm`, or the choices."""
    if limit.kind == "choice":
        return listing(limit.choices)
    if limit.kind == "flag":
        return "yes or no"
    if limit.kind == "records":
        return str(limit.least) + " to " + str(limit.most) + " records"
    return show_input(limit.low) + " to " + with_unit(show_input(limit.high), name)


def slip_words(name, number, limit):
    """The likeliest slip that would bring `number` into range: `: typed in cm (9 mm)?`"""
    unit = unit_of(name)
    for factor, question in (unit["slips"] if unit else []):
        mended = (number - 32) / 1.8 if factor is None else number * factor
        if limit.low <= mended <= limit.high:
            return "; " + question[:-1] + " (" + with_unit(show_input(_three_digits(mended)), name) + ")?"
    return ""


def _three_digits(value):
    return float(show(value, 2 if abs(value) < 10 else 1 if abs(value) < 100 else 0).replace("\u2212", "-").replace("\u202f", ""))


def listing(words):
    """`a, b or c`."""
    words = [str(word) for word in words]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " or " + words[-1]


def unknown_sentence(name, where, known):
    """A name that `where` does not take, and the nearest that it does."""
    return name + " is not an input of " + where + nearest_words(name, sorted(known)) + "."


def nearest_words(name, known):
    """`; nearest name: annulus_mm`, or nothing when no known name is close."""
    best, least = "", max(2, len(name) // 3) + 1
    for word in known:
        longer = len(word) - len(name)
        if -longer >= least:
            continue  # at least that many letters would have to go: a pasted paragraph is like no name
        steps = edit_distance(name, word, least) if longer < least else least
        if longer > 0:  # a name broken off is one slip
            steps = min(steps, edit_distance(name, word[:len(name)], least) + 1)
        if steps < least:
            best, least = word, steps
    return "; nearest name: " + best if best else ""


def edit_distance(one, other, enough):
    """Letters to insert, drop or replace to turn `one` into `other`; `enough` when it takes as many or more."""
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one):
        previous, row[0] = row[0], i + 1
        left = i + 1
        for j, against in enumerate(other):
            above = row[j + 1]
            left = min(above + 1, left + 1, previous if letter == against else previous + 1)
            previous, row[j + 1] = above, left
        if min(row) >= enough:
            return enough  # it never falls again
    return min(row[-1], enough)


def _named(name):
    label = label_of(name)
    return label[0].upper() + label[1:]
