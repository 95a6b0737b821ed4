"""Counts told in pictures: persons in a square."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import whole
from pvcalc.core.units import show, show_input
from pvcalc.draw.svg import PAGE, at, canvas, drawn, joined, paragraph, path, words
from pvcalc.statistics.proportion import CONFIDENCE, MOST_CASES, exact_interval

# Looks of a person, from those counted for sure to those without the event.
LOOKS = ("sure", "event", "may", "free")


def _person(pattern_id, cell, look):
    """A pattern tile of one person: head and rounded body."""
    middle, head = cell / 2, cell * 0.17
    body = ("M" + at(cell * 0.2) + " " + at(cell * 0.92) + "V" + at(cell * 0.62) + "a" + at(cell * 0.3) + " "
            + at(cell * 0.2) + " 0 0 1 " + at(cell * 0.6) + " 0V" + at(cell * 0.92) + "Z")
    return ('<pattern id="' + pattern_id + '" width="' + at(cell) + '" height="' + at(cell)
            + '" patternUnits="userSpaceOnUse"><circle cx="' + at(middle) + '" cy="' + at(cell * 0.23) + '" r="' + at(head)
            + '" class="fig-person-' + look + '"/>' + path(body, "fig-person-" + look) + "</pattern>")


def _stretch(first, last, across, cell):
    """Outline of the icons numbered `first` to `last` - 1, laid row by row."""
    pieces = []
    while first < last:
        row, column = first // across, first % across
        end = min(last, (row + 1) * across)
        if column == 0 and last - first >= across:
            rows = (last - first) // across
            pieces.append((0, row, across, rows))
            first += rows * across
        else:
            pieces.append((column, row, end - first, 1))
            first = end
    return "".join([joined([(x * cell, y * cell), ((x + w) * cell, y * cell), ((x + w) * cell, (y + h) * cell),
                            (x * cell, (y + h) * cell)], True) for x, y, w, h in pieces])


def _share(confidence):
    """A confidence as a percentage, no digit more than it has."""
    return show_input(confidence * 100) + "\u00a0%"


def _nearest(value):
    return int(value + 0.5 + 1e-9)


def _count_words(value, events):
    """A count of icons; below one is said in words, for it never means that the event cannot happen."""
    return "fewer than 1" if events and not _nearest(value) else show(_nearest(value), 0)


@drawn("events cases out_of confidence event_words population_words",
       events=whole(0, MOST_CASES), cases=whole(1, MOST_CASES), out_of=whole(100, 1000), confidence=CONFIDENCE, event_words=words(60),
       population_words=words(120))
def icon_array(*, picture_id, events, cases, out_of, confidence, event_words, population_words):
    """Persons with and without an event in 100 or 1000, the exact interval marked.

    Args:
        events, cases: the counts as published.
        out_of: 100 or 1000; one and the same on a page.
        confidence: of the interval, such as 0.95.
        event_words: what happened to those counted; population_words: who they were and when.
    """
    if out_of not in (100, 1000):
        refuse("out_of", "Persons are drawn in 100 or in 1000.")
    if events > cases:
        refuse("events", "Events cannot be more than cases.")
    limits = dict(exact_interval(events=events, cases=cases, confidence=confidence))
    found, low, high = events / cases * out_of, limits["low"] * out_of, limits["high"] * out_of
    ends = [_nearest(low), _nearest(found), _nearest(high), out_of]
    across, cell = (10, 21) if out_of == 100 else (40, 8.8)
    defs, icons, first = "", [], 0
    for look, end in zip(LOOKS, ends):
        pattern = picture_id + "-" + look
        defs += _person(pattern, cell, look)
        if end > first:
            icons.append(path(_stretch(first, end, across, cell), "fig-over", pattern))
        first = max(first, end)
    per, share = show(out_of, 0), _share(confidence)
    range_words = _count_words(low, events) + " to " + show(ends[2], 0)
    rows = [("sure", "lower end: " + _count_words(low, events)), ("event", "found: " + _count_words(found, events)),
            ("may", "upper end: " + show(ends[2], 0)), ("free", "without the event")]
    first = _count_words(found, events)
    first = first[0].upper() + first[1:]
    head, top = paragraph(4, 16, first + " in " + per + ": " + event_words, PAGE, "fig-strong")
    parts = [head, '<g transform="translate(4 ' + at(top - 6) + ')">' + "".join(icons) + "</g>"]
    side, y = (226, top + 10) if out_of == 100 else (4, top + 25 * 8.8 + 16)
    for place, (look, text) in enumerate(rows):
        pattern = picture_id + "-key-" + look
        defs += _person(pattern, 16, look)
        x, down = (side, y + 34 * place) if out_of == 100 else (side + 180 * (place % 2), y + 22 * (place // 2))
        parts.append('<g transform="translate(' + at(x) + " " + at(down - 13) + ')">'
                     + path(joined([(0, 0), (16, 0), (16, 16), (0, 16)], True), "fig-over", pattern) + "</g>")
        parts.append(paragraph(x + 20, down, text, 114 if out_of == 100 else 150, "fig-small", step=14)[0])
    bottom = top + 226 if out_of == 100 else y + 42
    foot = (show(events, 0) + " of " + show(cases, 0) + " counted; " + share + " interval " + range_words + " in " + per
            + ". " + population_words)
    written, bottom = paragraph(4, bottom, foot, PAGE, "fig-small")
    parts.append(written)
    said = (first + " in " + per + " had this: " + event_words + "; "
            + show(out_of - ends[1], 0) + " in " + per + " had not. " + foot + ".")
    return canvas(picture_id, bottom - 8, "Persons with and without the event", said, parts, defs=defs)
