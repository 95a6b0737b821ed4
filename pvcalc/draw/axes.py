"""Axes for charts: where a value lies on the page, round marks, curves and steps."""

from pvcalc.core.units import show
from pvcalc.draw.svg import joined, label, line, path, rectangle

MOST_POINTS = 240  # a curve on a phone needs no more


class Axes:
    """A plotting area in picture coordinates with its two scales."""

    def __init__(self, left, top, width, height, across, upwards):
        """`across` and `upwards` are (low, high) of the two scales."""
        self.left, self.top, self.width, self.height = left, top, width, height
        self.across, self.upwards = across, upwards

    def x(self, value):
        """Page position of a value on the scale across."""
        low, high = self.across
        return self.left + (value - low) / (high - low) * self.width

    def y(self, value):
        """Page position of a value on the scale upwards."""
        low, high = self.upwards
        return self.top + self.height - (value - low) / (high - low) * self.height

    def frame(self, across_words, upwards_words, most_across=6, most_upwards=6, factor=1.0):
        """Both scales with marks and words; `factor` turns the upward values into those written."""
        strokes = [self.upward_marks(most_upwards, factor), self.across_marks(across_words, most_across)]
        strokes.append(self.border())
        strokes.append(label(self.left - 30, self.top - 10, upwards_words, "fig-small"))
        return "".join(strokes)

    def across_marks(self, across_words, most=6):
        """Marks below, with their values and the words for them."""
        bottom = self.top + self.height
        strokes = [line(self.left, bottom, self.left + self.width, bottom, "fig-axis")]
        marks = ticks(self.across[0], self.across[1], most)
        decimals = decimals_of_step(marks)
        for mark in marks:
            x = self.x(mark)
            strokes.append(line(x, bottom, x, bottom + 4, "fig-axis"))
            strokes.append(label(x, bottom + 18, show(mark, decimals), "fig-small", "middle"))
        if across_words:
            strokes.append(label(self.left + self.width, bottom + 34, across_words, "fig-small", "end"))
        return "".join(strokes)

    def border(self):
        """The two lines of the scales."""
        bottom = self.top + self.height
        return path(joined([(self.left, self.top), (self.left, bottom), (self.left + self.width, bottom)]), "fig-axis")

    def upward_marks(self, most, factor=1.0):
        """Level lines with their values."""
        strokes = []
        marks = ticks(self.upwards[0] * factor, self.upwards[1] * factor, most)
        decimals = decimals_of_step(marks)
        for mark in marks:
            y = self.y(mark / factor)
            strokes.append(line(self.left, y, self.left + self.width, y, "fig-grid"))
            strokes.append(label(self.left - 5, y + 4.5, show(mark, decimals), "fig-small", "end"))
        return "".join(strokes)

    def points(self, pairs):
        """Page points of (across, upwards) pairs."""
        return [(self.x(a), self.y(b)) for a, b in pairs]

    def curve(self, pairs, look):
        """Straight strokes through the pairs, thinned when there are more than a phone can show."""
        return path(joined(self.points(thinned(pairs))), look)

    def steps(self, pairs, look):
        """A staircase: each value holds until the next."""
        corners = []
        for place, (a, b) in enumerate(pairs):
            if place:
                corners.append((a, pairs[place - 1][1]))
            corners.append((a, b))
        return path(joined(self.points(corners)), look)


def thinned(pairs):
    """At most about `MOST_POINTS` of the pairs: first, last, and the lowest and highest of each stretch."""
    if len(pairs) <= MOST_POINTS:
        return pairs
    stretch = len(pairs) * 2 // MOST_POINTS + 1
    kept = [pairs[0]]
    for start in range(1, len(pairs) - 1, stretch):
        piece = pairs[start:min(start + stretch, len(pairs) - 1)]
        low, high = 0, 0
        for i in range(len(piece)):
            low = i if piece[i][1] < piece[low][1] else low
            high = i if piece[i][1] > piece[high][1] else high
        kept += [piece[i] for i in sorted(set((low, high)))]
    return kept + [pairs[-1]]


def notice(x, y, text, width):
    """Words in a box, laid over the drawing so that a cut-out keeps them."""
    return rectangle(x, y, width, 22, "fig-notice", 4) + label(x + width / 2, y + 15.5, text, "fig-odd-text", "middle")


def ticks(low, high, most=8):
    """Round numbers from `low` to `high` for an axis: 1, 2 or 5 times a power of ten apart."""
    step = 1e-6
    factors = (2, 2.5, 2)
    turn = 0
    while (high - low) / step > most:
        step *= factors[turn % 3]
        turn += 1
    first = int(low // step)
    if first * step < low - step * 1e-9:
        first += 1
    marks = []
    while first * step <= high + step * 1e-9:
        marks.append(first * step)
        first += 1
    return marks


def decimals_of_step(marks):
    """Digits after the point that tell the marks of an axis apart."""
    step = marks[1] - marks[0] if len(marks) > 1 else 1
    for decimals in range(7):
        scaled = step * 10 ** decimals
        if abs(scaled - int(scaled + 0.5)) < 1e-6:
            return decimals
    return 7
