"""Where a slider stops: round values from one end of a range to the other."""

from pvcalc.core.units import show_input

WIDE = 8  # from this ratio of its ends a range is walked by factors, not by equal steps
STOPS = 70


def stops(limit) -> list[str]:
    """Texts for the field beside the slider, rising, both ends among them.

    Args:
        limit: a number or a whole number with its bounds.
    """
    low, high = limit.low, limit.high
    if low > 0 and high / low >= WIDE and limit.kind == "number":
        values = [_two_digits(low * (high / low) ** (step / STOPS)) for step in range(STOPS + 1)]
    else:
        width = _round_step((high - low) / STOPS, limit.kind == "whole")
        values = [round(count * width, 6) for count in range(int(low / width), int(high / width) + 1)]
    inside = sorted({low, high, *[value for value in values if low < value < high]})
    return [show_input(float(value)).replace("\u2212", "-").replace("\u202f", "") for value in inside]


def _two_digits(value):
    return float(f"{value:.2g}")


def _round_step(width, is_whole):
    steps = [factor * 10.0 ** power for power in range(-6, 7) for factor in (1, 2, 5)]
    return next(step for step in steps if step >= width and (step >= 1 or not is_whole))
