"""How a formula is declared, asked and told, tried on invented formulas that are taken back after each test."""

import math
from functools import cache

import pytest

from pvcalc.core import formula as core
from pvcalc.core.errors import MissingInput, NoResult, NotUnderstood, OutOfRange, Refusal, UnknownName
from pvcalc.core.formula import Limit, edit_distance, nearest_words

ALL = dict(annulus_mm=10, side="left", flagged=1, boluses=3, trace_mmhg=[1, 2.5], shelf=[{}])


@pytest.fixture(autouse=True)
def registers():
    """The two registers as they were, whatever a test declares."""
    kept = core.FORMULAS[:], core.PRINTED[:]
    core.FORMULAS[:], core.PRINTED[:] = [], []
    yield
    core.FORMULAS[:], core.PRINTED[:] = kept


def declared(function=None, **more):
    """An invented formula; without a function one that gives back its annulus."""
    def echo_mm(*, annulus_mm, side, flagged, boluses, trace_mmhg, shelf):
        return annulus_mm
    limits = dict(annulus_mm=(3, 45), side=core.choices("left", "right"), flagged=core.flag(), boluses=core.whole(0, 9), trace_mmhg=core.listed(-40, 400, 1, 3), shelf=core.records(1, 2))
    return core.formula("author1900", **({**limits, **more} if function is None else more))(function or echo_mm)


# Declaring


def test_what_is_declared_is_registered_with_its_defaults():
    made = declared()
    assert core.FORMULAS == [made] and core.find("echo_mm") is made
    assert (made.name, made.source, made.seen, made.limits_from, made.asks, made.gives, made.decimals, made.columns) == ("echo_mm", "author1900", "read", "house limits", (), None, None, {})
    other = core.formula("", seen="memory", limits_from="range of x", gives=("low", "high"), decimals=3, columns={"a": ["b"]}, asks=[len])(lambda: 1)
    assert (other.seen, other.limits_from, other.gives, other.decimals, other.columns, other.asks) == ("memory", "range of x", ("low", "high"), 3, {"a": ["b"]}, [len])


@pytest.mark.parametrize("make, said", [
    (lambda: core.whole(2, 9), ("whole", 2, 9, (), 1, None)), (lambda: core.choices("a", "b"), ("choice", None, None, ("a", "b"), 1, None)), (core.flag, ("flag", 0, 1, (), 1, None)),
    (lambda: core.listed(2, 9), ("list", 2, 9, (), 1, 20000)), (lambda: core.listed(2, 9, 3, 5), ("list", 2, 9, (), 3, 5)), (core.records, ("records", None, None, (), 1, 200)),
    (lambda: core.records(2, 3), ("records", None, None, (), 2, 3)), (lambda: Limit("number", 1, 2), ("number", 1, 2, (), 1, None))])
def test_a_limit_holds_what_it_was_made_of(make, said):
    limit = make()
    assert (limit.kind, limit.low, limit.high, tuple(limit.choices), limit.least, limit.most) == said


def test_an_unknown_formula_is_answered_with_the_nearest():
    declared()
    with pytest.raises(UnknownName, match="^there is no formula called echo_m; nearest name: echo_mm$"):
        core.find("echo_m")


# Asking


def refused(made, **change):
    """The refusal of a formula asked with all inputs but these; None leaves one out."""
    with pytest.raises(Refusal) as caught:
        made(**{**ALL, **change})
    return caught.value


@pytest.mark.parametrize("change, kind, sentence", [
    (dict(annulus_mm=None), MissingInput, "Annulus is missing."), (dict(annulus_mm=2.9), OutOfRange, "Annulus 2.9\u00a0mm is outside 3 to 45\u00a0mm (house limits); typed in cm (29\u00a0mm)?"),
    (dict(annulus_mm=46), OutOfRange, "Annulus 46\u00a0mm is outside 3 to 45\u00a0mm (house limits); an extra digit, or a decimal point left out (4.6\u00a0mm)?"),
    (dict(annulus_mm=0.1), OutOfRange, "Annulus 0.1\u00a0mm is outside 3 to 45\u00a0mm (house limits)."), (dict(annulus_mm="7"), NotUnderstood, "Annulus must be a finite number."),
    (dict(annulus_mm=math.nan), NotUnderstood, "Annulus must be a finite number."), (dict(annulus_mm=True), NotUnderstood, "Annulus must be a finite number."),
    (dict(side="lef"), NotUnderstood, "Side must be chosen: left or right; nearest name: left."), (dict(side=3), NotUnderstood, "Side must be chosen: left or right."),
    (dict(flagged=2), NotUnderstood, "Flagged must be yes (1) or no (0)."), (dict(flagged="yes"), NotUnderstood, "Flagged must be yes (1) or no (0)."),
    (dict(boluses=2.5), NotUnderstood, "Boluses must be a whole number, not 2.5."), (dict(boluses=10), OutOfRange, "Boluses 10 is outside 0 to 9 (house limits)."),
    (dict(boluses=-1), OutOfRange, "Boluses −1 is outside 0 to 9 (house limits)."), (dict(trace_mmhg=3), NotUnderstood, "Trace must be a list of numbers."),
    (dict(trace_mmhg=[]), NotUnderstood, "Trace must hold 1 to 3 numbers, not 0."), (dict(trace_mmhg=[1] * 4), NotUnderstood, "Trace must hold 1 to 3 numbers, not 4."),
    (dict(trace_mmhg=[1, "x"]), NotUnderstood, "Trace, number 2, must be a finite number."), (dict(trace_mmhg=[-41]), OutOfRange, "Number 1 of the list: Trace −41\u00a0mmHg is outside −40 to 400\u00a0mmHg (house limits)."),
    (dict(trace_mmhg=[1, 2, 401]), OutOfRange, "Number 3 of the list: Trace 401\u00a0mmHg is outside −40 to 400\u00a0mmHg (house limits)."),
    (dict(shelf=[]), NotUnderstood, "Shelf must be a list of 1 to 2 records."), (dict(shelf=[{}] * 3), NotUnderstood, "Shelf must be a list of 1 to 2 records."), (dict(shelf={}), NotUnderstood, "Shelf must be a list of 1 to 2 records."),
    (dict(anulus_mm=3), NotUnderstood, "anulus_mm is not an input of echo_mm; nearest name: annulus_mm.")])
def test_one_wrong_input_is_refused_by_its_kind_in_a_sentence(change, kind, sentence):
    error = refused(declared(), **change)
    assert type(error) is kind and error.faults == [(next(iter(change)), sentence)]


def test_faults_of_several_kinds_are_told_in_order_as_a_plain_refusal():
    error = refused(declared(), annulus_mm=46, side=None, boluses="x")
    assert type(error) is Refusal and [field for field, _ in error.faults] == ["annulus_mm", "boluses", "side"]
    assert type(refused(declared(), annulus_mm=None, side=None)) is MissingInput


def test_inputs_come_out_as_plain_numbers_and_words():
    checked = declared().checked(dict(annulus_mm=45, side="right", flagged=True, boluses=9.0, trace_mmhg=(-40, 400), shelf=[{}, {}]))
    assert checked == dict(annulus_mm=45.0, side="right", flagged=1, boluses=9, trace_mmhg=[-40.0, 400.0], shelf=[{}, {}])
    assert [type(checked[name]) for name in ("annulus_mm", "flagged", "boluses")] == [float, int, int] and all(type(one) is float for one in checked["trace_mmhg"])
    assert declared().checked({**ALL, "annulus_mm": 3, "boluses": 0, "flagged": 0})["annulus_mm"] == 3


@pytest.mark.parametrize("answer", [math.nan, math.inf, None, "7", [1], True, ZeroDivisionError, OverflowError, ValueError])
def test_a_result_that_is_no_finite_number_is_no_result(answer):
    def wide_mm():
        if isinstance(answer, type):
            raise answer
        return answer
    with pytest.raises(NoResult, match="^These inputs together give no finite wide\\.$") as caught:
        declared(wide_mm)()
    assert caught.value.faults[0][0] == ""


def test_a_refusal_of_the_body_passes_and_a_whole_number_becomes_one_with_a_point():
    def wide_mm():
        raise OutOfRange([("a", "No.")])
    with pytest.raises(OutOfRange, match="^No\\.$"):
        declared(wide_mm)()
    assert type(declared(lambda: 7)()) is float and declared(lambda: -7)() == -7


@pytest.mark.parametrize("value, usable", [(1, True), ("word", True), (None, True), (True, True), ([1, "a", [2]], True), ({"a": [1, None]}, True), (math.nan, False), ([1, math.inf], False),
                                           ({"a": {"b": math.nan}}, False), (object(), False), ((1, 2), True), ([], True)])
def test_several_results_may_be_numbers_words_lists_and_records_of_them(value, usable):
    def pair():
        return [("first", 1), ("second", value)]
    made = declared(pair, gives=("first", "second"))
    if usable:
        assert made() == [("first", 1), ("second", value)]
    else:
        with pytest.raises(NoResult, match="^These inputs together give no finite pair\\.$"):
            made()


@pytest.mark.parametrize("fault", [ZeroDivisionError, OverflowError, ValueError])
def test_several_results_that_cannot_be_computed_are_no_result_either(fault):
    def pair():
        raise fault
    with pytest.raises(NoResult, match="^These inputs together give no finite pair\\.$"):
        declared(pair, gives=("first", "second"))()


# Telling


@pytest.mark.parametrize("value, decimals, said", [
    ([], None, "none"), ([1.0] * 12, None, "; ".join(["1.0\u00a0mm"] * 12)), ([1.0] * 13, None, "; ".join(["1.0\u00a0mm"] * 12) + " … (13 values)"), ((2.5,), 2, "2.50\u00a0mm"), ([{}], None, "1 rows"),
    (["a", "b"], None, "2 rows"), (2.5, None, "2.5\u00a0mm"), (2.5, 3, "2.500\u00a0mm"), (None, None, "none"), ("word", None, "word"), (True, None, "True")])
def test_a_named_result_in_words(value, decimals, said):
    assert core.shown_value("wide_mm", value, decimals) == said


def test_one_result_and_several_in_words():
    assert declared().shown(12.34) == "12.3\u00a0mm" and declared(decimals=2).shown(12.34) == "12.34\u00a0mm"
    assert declared(gives=("low_mm", "z")).shown([("low_mm", 2), ("z", 1.5)]) == "low 2.0\u00a0mm, z 1.50"


def odd(inputs):
    return "Is that so?" if inputs["annulus_mm"] > 20 else ""


def test_a_run_tells_all_a_page_shows():
    declared(asks=(odd, lambda inputs: "A note." if inputs["boluses"] else ""), seen="derived")
    assert core.run("echo_mm", {**ALL, "annulus_mm": " 12,5 ", "boluses": 0}) == {
        "ok": True, "name": "echo_mm", "value": 12.5, "shown": "12.5\u00a0mm", "asks": [], "held": False, "seen": "derived"}
    note, question = core.run("echo_mm", ALL), core.run("echo_mm", {**ALL, "annulus_mm": "21", "boluses": "0"})
    assert (note["asks"], note["held"], question["asks"], question["held"]) == (["A note."], False, ["Is that so?"], True)


def test_typed_texts_are_read_by_the_kind_of_their_limit():
    answer = core.run(declared(lambda *, side, flagged, trace_mmhg, boluses: boluses, **{name: declared().limits[name] for name in ("side", "flagged", "trace_mmhg", "boluses")}).name,
                      {"side": " left ", "flagged": " yes ", "trace_mmhg": "1;2,5\t3", "boluses": "4"})
    assert answer["ok"] and answer["value"] == 4
    assert [core.from_text(text, core.flag()) for text in ("yes", "no", "1", " no ")] == [(1, ""), (0, ""), (1, ""), (0, "")]
    assert core.from_text(" a ", core.choices("a")) == ("a", "") and core.from_text("1 2,5;3\n4", core.listed(0, 9)) == ([1, 2.5, 3, 4], "") and core.from_text(" ", core.listed(0, 9)) == ([], "")
    assert core.from_text("1 x 2", core.listed(0, 9)) == (None, "holds “x”, which is not a plain number; type digits with one decimal point or comma, such as 18.4")
    assert core.from_text("yes", core.whole(0, 9))[0] is None and core.from_text("5", Limit("number", 0, 1)) == (5, "")


def test_what_cannot_be_read_is_told_beside_what_is_refused_and_a_blank_is_missing():
    declared()
    told = core.run("echo_mm", {**ALL, "annulus_mm": "1 2", "side": "x", "boluses": "  ", "shelf": None, "unheard": "5"})
    assert told["ok"] is False and told["name"] == "echo_mm" and [field for field, _ in told["faults"]] == ["annulus_mm", "boluses", "shelf", "side", "unheard"]
    assert dict(told["faults"])["annulus_mm"] == "Annulus “1 2” has a space or a thousands mark inside; type the digits without it." and dict(told["faults"])["boluses"] == "Boluses is missing."
    assert core.run("echo_mm", {**ALL, "annulus_mm": "5kg"})["faults"] == [
        ("annulus_mm", "Annulus “5kg” is not a plain number; type digits with one decimal point or comma, such as 18.4.")]
    assert core.run("echo_mm", {**ALL, "side": ""})["faults"] == [("side", "Side is missing.")]
    assert core.run("echo_mm", {**ALL, "boluses": ""})["faults"] == [("boluses", "Boluses is missing.")]
    def never_mm():
        raise NoResult([("b", "Never."), ("a", "No.")])
    assert core.run(declared(never_mm).name, {}) == {"ok": False, "name": "never_mm", "faults": [("b", "Never."), ("a", "No.")]}


@pytest.mark.parametrize("text, kept", [("a b", "a b"), (" a \t\n b\u00a0", "a b"), ("x" * 24, "x" * 24), ("x" * 25, "x" * 24 + "…"), ("", "")])
def test_what_was_typed_is_shown_back_shortened(text, kept):
    assert core.shortened(text) == kept


# Slips


@pytest.mark.parametrize("name, number, low, high, said", [
    ("annulus_mm", 1.4, 3, 45, "; typed in cm (14\u00a0mm)?"), ("height_cm", 1.1, 30, 220, "; typed in metres (110\u00a0cm)?"), ("height_cm", 43.3, 60, 220, "; typed in inches (110\u00a0cm)?"),
    ("height_cm", 1100, 30, 220, "; typed in mm (110\u00a0cm)?"), ("fluid_c", 98.6, 30, 45, "; typed in °F (37\u00a0°C)?"), ("weight_kg", 18000, 0.5, 250, "; typed in grams (18\u00a0kg)?"),
    ("valve_ratio", 120, 0.5, 2, ""), ("view", 3, 0, 1, ""), ("annulus_mm", 0.3, 3, 45, "; typed in cm (3\u00a0mm)?"), ("annulus_mm", 4.5, 45, 45, "; typed in cm (45\u00a0mm)?"),
    ("weight_kg", 39.68, 0.5, 18, "; typed in pounds (18\u00a0kg)?"), ("weight_kg", 22, 0.5, 10, "; typed in pounds (9.98\u00a0kg)?"), ("weight_kg", 250.5, 0.5, 250, "; typed in pounds (114\u00a0kg)?"),
    # 85, 219.1, 221.4 and 23.26 lb are 38.56, 99.38, 100.42 and 10.55 kg: three digits of each
    ("weight_kg", 85, 0.5, 40, "; typed in pounds (38.6\u00a0kg)?"), ("weight_kg", 219.1, 0.5, 101, "; typed in pounds (99.4\u00a0kg)?"),
    ("weight_kg", 221.4, 0.5, 101, "; typed in pounds (100\u00a0kg)?"), ("weight_kg", 23.26, 0.5, 11, "; typed in pounds (10.6\u00a0kg)?")])
def test_the_likeliest_slip_is_the_first_that_brings_a_number_into_range(name, number, low, high, said):
    assert core.slip_words(name, number, Limit("number", low, high)) == said


@pytest.mark.parametrize("limit, said", [
    (lambda: core.choices("a", "b", "c"), "a, b or c"), (core.flag, "yes or no"), (lambda: core.records(1, 9), "1 to 9 records"), (lambda: Limit("number", 3, 45), "3 to 45\u00a0mm"),
    (lambda: core.whole(0, 3), "0 to 3\u00a0mm"), (lambda: core.listed(-2.5, 3), "−2.5 to 3\u00a0mm")])
def test_a_range_in_words(limit, said):
    assert core.range_words("wide_mm", limit()) == said


@pytest.mark.parametrize("words, said", [(["a"], "a"), (["a", "b"], "a or b"), (("a", "b", 3), "a, b or 3")])
def test_a_list_of_words(words, said):
    assert core.listing(words) == said


# Near names


def by_definition(one, other):
    """Letters to insert, drop or replace, by the recursion that defines it."""
    @cache
    def steps(i, j):
        if not i or not j:
            return i + j
        return min(steps(i - 1, j) + 1, steps(i, j - 1) + 1, steps(i - 1, j - 1) + (one[i - 1] != other[j - 1]))
    return steps(len(one), len(other))


WORDS = ["", "a", "mm", "annulus_mm", "anulus_mm", "balloon_mm", "ballon", "kitten", "sitting", "flaw", "lawn", "weight_kg", "wieght_kg", "gk_thgiew", "aaaa", "baaab"]


@pytest.mark.parametrize("enough", [1, 2, 3, 5, 99])
def test_letters_to_change_are_counted_as_they_are_defined_and_no_further_than_enough(enough):
    for one in WORDS:
        for other in WORDS:
            assert edit_distance(one, other, enough) == min(by_definition(one, other), enough), (one, other)


@pytest.mark.parametrize("name, known, near", [
    ("anulus_mm", ["balloon_mm", "annulus_mm"], "annulus_mm"), ("annulus", ["annulus_mm"], "annulus_mm"), ("ab", ["abcd", "xy"], "abcd"), ("ab", ["cd", "ax"], "ax"), ("abc", ["xyc", "xbz"], "xyc"), ("abc", ["xyz"], ""),
    ("abcdefgh", ["abcdefxy"], "abcdefxy"), ("abcdefgh", ["abcdexyz"], ""), ("abcdefghi", ["abcdefxyz"], "abcdefxyz"), ("abcdefghi", ["abcdewxyz"], ""), ("abcde", ["ab"], ""), ("abcd", ["ab"], "ab"), ("a pasted paragraph " * 4, ["annulus_mm"], ""),
    ("abcdxy", ["abcd"], "abcd"), ("annulus_mm", ["a", "annulus_m"], "annulus_m"),
    # of two as near the first, and a nearer one after it
    ("abcd", ["abcx", "abcy"], "abcx"), ("abcd", ["abxy", "abcx"], "abcx"),
    # broken off: one slip, and one more for a letter that is wrong
    ("ann", ["annulus_mm"], "annulus_mm"), ("anx", ["annulus_mm"], "annulus_mm"), ("axx", ["annulus_mm"], ""), ("abcxe", ["abcde_mm_long"], "abcde_mm_long"), ("abcd", ["abcd"], "abcd")])
def test_a_near_name_is_at_most_a_third_of_its_letters_or_two_away(name, known, near):
    assert nearest_words(name, known) == ("; nearest name: " + near if near else "")


# Printed examples


def example(answer="12.3", annulus=12.34, **more):
    made = declared()
    core.printed(made, "author1900", "page 3", answer=answer, **more, **{**ALL, "annulus_mm": annulus})
    return core.PRINTED[-1]


@pytest.mark.parametrize("answer, within, tolerance", [("12.3", None, 0.05), ("12", None, 0.5), ("12.34", None, 0.005), ("12.3", 0.2, 0.2), ("12", 0, 0)])
def test_the_tolerance_is_half_the_last_printed_digit_or_what_is_allowed(answer, within, tolerance):
    assert example(answer, within=within).tolerance() == pytest.approx(tolerance)


# 12.25 and 12.35 lie at the very edge of 12.3; a print in cm is a tenth.
@pytest.mark.parametrize("answer, annulus, more, agrees", [
    ("12.3", 12.34, {}, True), ("12.3", 12.35, {}, True), ("12.3", 12.25, {}, True), ("12.3", 12.3501, {}, False), ("12.3", 12.2499, {}, False), ("1.23", 12.34, {"factor": 0.1}, True), ("12.3", 12.34, {"factor": 0.1}, False), ("12", 12.6, {"within": 0.7}, True)])
def test_an_example_agrees_within_its_tolerance(answer, annulus, more, agrees):
    one = example(answer, annulus, **more)
    assert one.agrees() is agrees is one.agrees(one.computed()) and one.computed() == pytest.approx(annulus * more.get("factor", 1))
    assert one.agrees(float(answer)) is True and one.agrees(math.nan) is False and one.agrees(0.0) is False


def test_of_several_results_the_printed_one_is_picked():
    made = declared(lambda: [("low_mm", 2.0), ("high_mm", 3.0)], gives=("low_mm", "high_mm"))
    core.printed(made, "s", "l", answer="30", result="high_mm", factor=10)
    assert core.PRINTED[-1].computed() == 30 and core.PRINTED[-1].agrees()
    core.printed(made, "s", "l", answer="30", result="wide_mm")
    with pytest.raises(UnknownName, match="gives no result called wide_mm"):
        core.PRINTED[-1].computed()


def test_an_example_is_kept_as_it_was_printed():
    one = example("12.3", fact="X-1", kind="derived", seen="memory", differs="why", because="wide", within=0.5)
    assert (one.formula.name, one.source, one.locator, one.answer, one.seen, one.fact, one.kind, one.differs, one.because, one.within, one.factor, one.result) == (
        "echo_mm", "author1900", "page 3", "12.3", "memory", "X-1", "derived", "why", "wide", 0.5, 1.0, "")
    assert one.inputs == {**ALL, "annulus_mm": 12.34} and core.PRINTED == [one]
    plain = example()
    assert (plain.seen, plain.fact, plain.kind, plain.differs, plain.because, plain.within, plain.factor, plain.result) == ("read", "", "published", "", "", None, 1.0, "")
