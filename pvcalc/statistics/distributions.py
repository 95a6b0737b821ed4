"""Binomial and normal probabilities, the same to the last shown digit in every interpreter.

The engine's own lgamma and erf are off by up to 7e-10, so nothing here uses them. Tails are summed outward
from the count in question: every term is positive, so nothing cancels.
"""

from math import exp, log, pi, sqrt

# Stirling's series of ln x!: the first Bernoulli numbers over 2k(2k − 1). From 8 on the rest is below 1e-11.
STIRLING = (1 / 12, -1 / 360, 1 / 1260, -1 / 1680)
STIRLING_FROM = 8
SMALLEST_PART = 1e-17  # a further term no longer changes the sum
SETTLED = 1e-9  # a Newton step this small has already landed: the next would be its square
NEARLY = 1e-9  # two probabilities that differ by less, relatively, count as equal


def _left_over(x):
    """What Stirling's formula leaves over of ln x!, for x from `STIRLING_FROM` up."""
    series = 0.0
    part = 1 / x
    for coefficient in STIRLING:
        series += coefficient * part
        part /= x * x
    return series


def log_ways(cases, events):
    """Natural logarithm of the number of ways to pick `events` out of `cases`."""
    others = cases - events
    fewer = min(events, others)
    if fewer < STIRLING_FROM:
        ways = 1.0
        for count in range(1, fewer + 1):
            ways *= (cases - fewer + count) / count
        return log(ways)
    # The large logarithms of the three factorials are taken together, so that little is lost to cancelling.
    return (events * log(cases / events) + others * log(cases / others) + 0.5 * log(cases / (2 * pi * events * others))
            + _left_over(cases) - _left_over(events) - _left_over(others))


def outward_sum(cases, events, odds):
    """Probability of `events` or more as a multiple of the probability of exactly `events`.

    Meant for `events` at or above the mean, where each term is smaller than the one before.
    """
    part = total = 1.0
    for count in range(events, cases):
        part *= (cases - count) / (count + 1.0) * odds
        total += part
        if part < SMALLEST_PART * total:
            break
    return total


def exactly(cases, events, p, q):
    """Probability of exactly `events` when each case has one with probability `p`; `q` is 1 − `p`, above 0 like `p`."""
    return exp(log_ways(cases, events) + events * log(p) + (cases - events) * log(q))


def at_least(cases, events, p, q):
    """Probability of `events` or more."""
    if events <= 0:
        return 1.0
    if events > cases:
        return 0.0
    if events < cases * p:
        return 1.0 - _outward(cases, cases - events + 1, q, p)
    return _outward(cases, events, p, q)


def at_most(cases, events, p, q):
    """Probability of `events` or fewer: as many of the cases without one, or more."""
    return at_least(cases, cases - events, q, p)


def _outward(cases, events, p, q):
    return exactly(cases, events, p, q) * outward_sum(cases, events, p / q)


def lower_limit(cases, events, chance):
    """The probability at which `events` or more would be seen with this `chance` (0 when there were none).

    Newton's method on the logarithm of the odds: ln P is concave there, so that after one step it closes in from one side.
    """
    if events == 0:
        return 0.0
    ways = log_ways(cases, events)
    theta = log((events - 0.5) / (cases - events + 0.5))
    step = 1.0
    while abs(step) > SETTLED:
        odds = exp(theta)
        rest = outward_sum(cases, events, odds)
        gap = ways + events * theta - cases * log(1.0 + odds) + log(rest) - log(chance)
        step = gap * rest * (1.0 + odds) / events
        theta -= step
    return exp(theta) / (1.0 + exp(theta))


def normal_below(z):
    """Probability that a standard normal value lies below `z` (z within ±9), by its ever-growing series."""
    part = total = z
    odd = 3.0
    while abs(part) > SMALLEST_PART * abs(total):
        part *= z * z / odd
        total += part
        odd += 2.0
    return 0.5 + total * exp(-0.5 * z * z) / sqrt(2 * pi)


def normal_quantile(probability):
    """The value a standard normal one stays below with this `probability`, between 0 and 1."""
    if probability < 0.5:
        return -normal_quantile(1.0 - probability)
    z = 0.0
    step = 1.0
    while step > SETTLED:
        step = (probability - normal_below(z)) * sqrt(2 * pi) * exp(0.5 * z * z)
        z += step
    return z


def two_sided_z(confidence):
    """How many standard errors a two-sided interval of this `confidence` reaches to each side."""
    return normal_quantile(0.5 + confidence / 2)
