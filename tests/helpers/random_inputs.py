"""Random inputs for any formula, made from its own limits: in range, at the edges, outside, and typed nonsense."""

from pvcalc.core import formula as core

# What readers paste, mistype or try. Each must become a number or the same sentence in both interpreters.
NONSENSE = [
    "", " ", "abc", "1e400", "1e-320", "4294967371", "NaN", "nan", "Infinity", "-inf", "-0", "0", "+5", "−3", "--3",
    "1.234,5", "1,234", "0,125", "1,5", "12.", ".5", ",5", "1 000", "1\u202f000", "\u00a018\u00a0", "1'000", "٣٤", "½",
    "18mm", "0x1F", "1_000", "12,5 mm", "<b>7</b>", "<script>alert(1)</script>", "5;6", "999999999999999999999999",
    "A whole paragraph that somebody pasted\nwith a second line into the field.", "0.1e1", "١٢", "5-3", "%", "\t7\t",
]
ODD_VALUES = [None, True, -1, 0, 1e-320, 1e308, 4294967371, 2147483648, -2147483649, 0.1 + 0.2, [], [1, 2], {}]
LONGEST_LIST = 40


def case(random, made, examples=()):
    """One set of inputs for the formula `made`.

    Args:
        random: seeded `random.Random`.
        made: the formula.
        examples: printed examples of it; their inputs, a little changed, satisfy rules between fields.
    """
    given = good(random, made, examples)
    if random.random() < 0.2:
        spoil(random, made, given)
    return {name: value for name, value in given.items() if value is not LEFT_OUT}


def good(random, made, examples=()):
    """Inputs each inside its own limit; a rule between fields may still refuse them."""
    if examples and random.random() < 0.35:
        return near_example(random, made, random.choice(examples).inputs)
    length = list_length(random, made) if any(limit.kind == "list" for limit in made.limits.values()) else None
    return {name: allowed(random, limit, length) for name, limit in made.limits.items()}


def bad(random, made, examples=()):
    """Inputs with one or two of them wrong."""
    given = good(random, made, examples)
    spoil(random, made, given)
    return {name: value for name, value in given.items() if value is not LEFT_OUT}


LEFT_OUT = object()


def list_length(random, made):
    """One length for all lists of a case: cases of an audit, samples of a trace belong together."""
    limits = [limit for limit in made.limits.values() if limit.kind == "list"]
    least = max(limit.least for limit in limits)
    most = min(limit.most for limit in limits)
    # Short ones often: in a long list of random numbers nothing rises or falls throughout.
    return least if random.random() < 0.3 else random.randint(least, max(least, min(most, LONGEST_LIST)))


def allowed(random, limit, length=None):
    """A value inside the limit, as a number or as somebody would type it."""
    if limit.kind == "choice":
        return random.choice(limit.choices)
    if limit.kind == "flag":
        return random.choice([0, 1, "yes", "no", "1", "0"])
    if limit.kind == "whole":
        number = whole_number(random, limit)
        return random.choice([number, str(number)])
    if limit.kind == "list":
        if (limit.low, limit.high) == (0, 1) and random.random() < 0.9:
            return [random.randint(0, 1) for _ in range(length)]  # outcomes
        return [number_in(random, limit) for _ in range(length)]
    if limit.kind == "records":
        return []
    number = number_in(random, limit)
    return number if random.random() < 0.3 else typed(random, number)


def whole_number(random, limit):
    """Evenly over the range, or, where it is wide, often small."""
    if random.random() < 0.5:
        return random.randint(int(limit.low), int(limit.high))
    return min(int(limit.high), int(limit.low) + int(random.expovariate(0.05)))


def number_in(random, limit):
    """A number in the range, sometimes its very edge."""
    dice = random.random()
    if dice < 0.04:
        return limit.low
    if dice < 0.08:
        return limit.high
    number = random.uniform(limit.low, limit.high)
    return min(limit.high, max(limit.low, round(number, random.choice([0, 1, 1, 2, 3, 15]))))


def typed(random, number):
    """A number as text: with its own digits, with a decimal comma, or with blanks around it."""
    text = repr(float(number)) if "e" not in repr(float(number)) else format(number, ".12f")
    text = text[:22]
    if random.random() < 0.1:
        text = text.replace(".", ",")
    return text if random.random() < 0.95 else " " + text + "\u00a0"


def spoil(random, made, given):
    """Make one or two inputs wrong: outside, left out, of the wrong kind, or nonsense."""
    for name in random.sample(list(given), random.randint(1, min(2, len(given)))):
        limit = made.limits[name]
        ways = ["nonsense", "odd", "left out"]
        if limit.kind in ("number", "whole", "list"):
            ways += ["outside", "outside"]
        if limit.kind == "choice":
            ways += ["misspelt"]
        way = random.choice(ways)
        if way == "nonsense":
            given[name] = random.choice(NONSENSE)
        elif way == "odd":
            given[name] = random.choice(ODD_VALUES)
        elif way == "left out":
            given[name] = LEFT_OUT
        elif way == "misspelt":
            given[name] = random.choice(limit.choices)[:-1] + random.choice(["", "x", "é"])
        else:
            given[name] = outside(random, limit)
    if random.random() < 0.1:
        given[random.choice(list(given)) + random.choice(["s", "_mm", ""])] = 5


def outside(random, limit):
    """Just outside, a slip of units, or far outside; for a list, one such member."""
    span = (limit.high - limit.low) or 1
    number = random.choice([limit.low - span * 1e-9, limit.high + span * 1e-9, limit.high * 10, limit.low / 10,
                            limit.high * 1000 + 1, -limit.high - 1, limit.high + 0.5])
    return [number] if limit.kind == "list" else number


def near_example(random, made, inputs):
    """The inputs of a printed example with each number changed by up to a tenth, kept in range."""
    near = {}
    for name, value in inputs.items():
        limit = made.limits[name]
        near[name] = _near(random, value, limit)
    return near


def _near(random, value, limit):
    if isinstance(value, (list, tuple)):
        return [_near(random, member, limit) for member in value]
    if isinstance(value, dict):
        return {key: _near(random, member, core.Limit("free")) for key, member in value.items()}
    if isinstance(value, bool) or not isinstance(value, (int, float)) or random.random() < 0.3:
        return value
    changed = value * random.uniform(0.9, 1.1)
    if limit.kind in ("flag", "choice"):
        return value
    if limit.kind == "free":
        # Fields of a record hang together (ratios in rising order): nearer, or only refusals would be compared.
        return value * random.uniform(0.99, 1.01) if isinstance(value, float) else value
    changed = min(limit.high, max(limit.low, changed))
    return int(changed) if limit.kind == "whole" or (limit.kind == "list" and isinstance(value, int)) else changed
