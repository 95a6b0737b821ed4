"""Conditions of decision tables, and their three-valued truth: True, False, or None while an input is missing."""

from pvcalc.core.errors import PvcalcError
from pvcalc.decision.vocabulary import choices_words, comparison_words, name_words

SIGNS = (">=", "<=", ">", "<", "=")

# The mean over ejection can never exceed the peak of the same trace, so one bounds the other when it is missing.
NEVER_ABOVE = [("doppler_mean_mmhg", "doppler_peak_mmhg")]


class BadCondition(PvcalcError):
    """A condition that cannot be read."""


def read_condition(condition):
    """A condition as data.

    Args:
        condition: text such as "> 60" or ">= 36 and <= 64", a choice, a list of choices, or what `binding.bound` made
            of a condition that names a setting: {"compare": [(sign, number), …]}.
    Returns ("number", [(sign, number), …]) or ("choice", [word, …]).
    Raises: BadCondition, also for a setting whose value was not put in.
    """
    if isinstance(condition, dict):
        return "number", condition["compare"]
    if isinstance(condition, (list, tuple)):
        if not condition or not all([isinstance(word, str) and word for word in condition]):
            raise BadCondition("a list of choices must hold words")
        return "choice", list(condition)
    if isinstance(condition, str) and condition in _READ:
        return _READ[condition]
    found = _read_text(condition)
    _READ[condition] = found
    return found


_READ = {}  # texts read before; reading one is the slow part of a walk over thousands of cells


def _read_text(condition):
    if not isinstance(condition, str) or not condition.strip():
        raise BadCondition("“" + str(condition) + "” is not a condition; write a comparison such as \"> 60\" or a choice")
    text = condition.strip()
    if text[0] not in "<>=0123456789.":
        if all([letter.isalpha() or letter in "_-0123456789" for letter in text]):
            return "choice", [text]
        raise BadCondition("“" + text + "” is neither a comparison nor a choice")
    parts = read_parts(text)
    for _, number in parts:
        if isinstance(number, str):
            raise BadCondition("“" + text + "” names the setting " + number + ", and its value was not put in")
    return "number", parts


def read_parts(text):
    """A comparison as written: [(sign, number or key of a setting), …].

    Args:
        text: such as "> 60", "< =residual_stop_below_mmhg" or ">= =a_mmhg and < =b_mmhg".
    Raises: BadCondition.
    """
    return [_read_comparison(part.strip(), text) for part in text.split(" and ")]


def _read_comparison(part, whole):
    for sign in SIGNS:
        if part.startswith(sign):
            digits = part[len(sign):].strip()
            if digits[:1] == "=" and _is_key(digits[1:].strip()):
                return sign, digits[1:].strip()
            try:
                if digits and digits.lstrip("-")[:1] in "0123456789":
                    return sign, _number(digits)
            except (ValueError, ZeroDivisionError):
                pass
            break
    raise BadCondition("“" + whole + "” is not a comparison; write one such as \"> 60\", \">= 36 and <= 64\" or, with a setting, "
                       "\"< =target_low_ratio\"")


def _is_key(word):
    return word[:1].isalpha() and all([letter.isalpha() or letter in "_0123456789" for letter in word])


def _number(digits):
    """A number of a condition; a share may be written as a fraction, 2/3."""
    over, _, under = digits.partition("/")
    return float(over) / float(under) if under else float(over)


def condition_words(name, condition):
    """A condition in words: `peak Doppler gradient more than 60 mmHg`."""
    kind, parts = read_condition(condition)
    if kind == "choice":
        return choices_words(name, parts)
    return name_words(name) + " " + comparison_words(name, parts)


def holds(name, condition, inputs):
    """True, False, or None when `name` is missing and no other input settles it."""
    kind, parts = read_condition(condition)
    if name in inputs:
        if kind == "choice":
            return inputs[name] in parts
        return all([_compares(inputs[name], sign, number) for sign, number in parts])
    if kind == "choice":
        return None
    low, high = _bounds(name, inputs)
    return all_of([_compares_between(low, high, sign, number) for sign, number in parts])


# A value that arithmetic left a hair beside a cut-off (1.2 × 12 / 12) counts as being on it.
HAIR = 1e-9


def _compares(value, sign, number):
    if abs(value - number) <= HAIR * max(1.0, abs(number)):
        value = number
    if sign == ">":
        return value > number
    if sign == ">=":
        return value >= number
    if sign == "<":
        return value < number
    if sign == "<=":
        return value <= number
    return value == number


def _bounds(name, inputs):
    """What other inputs say about a missing one: (lowest, highest), None where open."""
    low = high = None
    for lower, upper in NEVER_ABOVE:
        if name == lower and upper in inputs:
            high = inputs[upper]
        if name == upper and lower in inputs:
            low = inputs[lower]
    return low, high


def _compares_between(low, high, sign, number):
    """A comparison for a value known only to lie from `low` to `high`."""
    if sign in (">", ">="):
        if low is not None and _compares(low, sign, number):
            return True
        return False if high is not None and not _compares(high, sign, number) else None
    if sign in ("<", "<="):
        if high is not None and _compares(high, sign, number):
            return True
        return False if low is not None and not _compares(low, sign, number) else None
    outside = (low is not None and number < low) or (high is not None and number > high)
    return False if outside else None


def all_of(truths):
    """And: False as soon as one is False, None while one is open."""
    if False in truths:
        return False
    return None if None in truths else True


def any_of(truths):
    """Or: True as soon as one is True, None while one is open."""
    if True in truths:
        return True
    return None if None in truths else False


def at_least(count, truths):
    """At least `count` of them True; False once that can no longer be reached."""
    sure = len([truth for truth in truths if truth is True])
    open_ones = len([truth for truth in truths if truth is None])
    if sure >= count:
        return True
    return None if sure + open_ones >= count else False


def truth_of(table, name, condition, given):
    """Truth of one condition; an optional input that was not given cannot meet any."""
    truth = holds(name, condition, given)
    if truth is None and name in (table.get("optional") or []):
        return False
    return truth


def branch_truth(table, branch, given):
    """Truth of conditions that must all hold; the first that fails settles it."""
    truth = True
    for name in branch:
        one = truth_of(table, name, branch[name], given)
        if one is False:
            return False
        if one is None:
            truth = None
    return truth


def alternatives(criterion):
    """The alternatives of one criterion of `at_least`: conditions, or a list of them of which one is enough."""
    return list(criterion) if isinstance(criterion, (list, tuple)) else [criterion]


def criterion_truth(table, criterion, given):
    """Truth of one criterion of `at_least`."""
    return any_of([branch_truth(table, branch, given) for branch in alternatives(criterion)])


def row_parts(table, row, given):
    """The parts of a row that must all hold, each with its truth and the branches it is made of."""
    when = row.get("when") or {}
    parts = [{"truth": branch_truth(table, when, given), "branches": [when]}]
    if parts[0]["truth"] is False:
        return parts  # settled; the rest need not be looked at
    if row.get("any"):
        truths = [branch_truth(table, branch, given) for branch in row["any"]]
        parts.append({"truth": any_of(truths), "branches": row["any"]})
    if row.get("at_least"):
        criteria = row["at_least"]["of"]
        truths = [criterion_truth(table, one, given) for one in criteria]
        branches = []
        for criterion, truth in zip(criteria, truths):
            branches += alternatives(criterion) if truth is None else []
        parts.append({"truth": at_least(row["at_least"]["count"], truths), "branches": branches})
    return parts


def row_truth(table, row, given):
    """Truth of a whole row: `when`, and one of `any`, and enough of `at_least`."""
    return all_of([part["truth"] for part in row_parts(table, row, given)])


def branches_of(row):
    """Every group of conditions of a row, `when` first."""
    branches = [row.get("when") or {}] + list(row.get("any") or [])
    if row.get("at_least"):
        for criterion in row["at_least"]["of"]:
            branches += alternatives(criterion)
    return branches


def ordered(table, branch):
    """Names of a branch in the order the table asks for them (dicts keep no order in every interpreter)."""
    return [name for name in table["asks_for"] if name in branch]


def edges_of(table, name):
    """Every number that a condition on `name` mentions, rising."""
    groups = [table.get("applies") or {}]
    for row in table["rows"]:
        groups += branches_of(row)
    edges = []
    for group in groups:
        if name in group:
            kind, parts = read_condition(group[name])
            if kind == "number":
                edges += [number for _, number in parts]
    return sorted(set(edges))
