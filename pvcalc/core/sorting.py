"""Sorting that stays fast in every interpreter.

The engine's own sort takes a time that grows with the square of the length when the list is sorted already, and audit
files are. So a list that is in order is left so, and any other is dealt out like cards first, always in the same way.
"""

STRIDES = (7919, 104729, 611953)  # primes; one that does not divide the length visits every place


def sorted_soon(values, key=None):
    """The values in rising order of `key`; for values or keys that are never equal, or whose equals are the same.

    Args:
        values: a list; key: a function, as for `sorted`.
    """
    count = len(values)
    if count < 50:
        return sorted(values, key=key)
    keys = values if key is None else [key(value) for value in values]
    if all([keys[place] <= keys[place + 1] for place in range(count - 1)]):
        return values[:]
    strides = [stride for stride in STRIDES if count % stride]
    stride = strides[0] if strides else 1
    return sorted([values[(place * stride) % count] for place in range(count)], key=key)
