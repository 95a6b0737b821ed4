"""A sum that stands in a sentence, `[derived: 1.25*1.253 to 2]`: numbers, settings by key, + − * / ** and brackets, nothing else."""

import ast
import math
import operator
import re

DOES = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv, ast.Pow: operator.pow}
DIGITS = re.compile(r"\s+to\s+([0-6])\s*$")  # decimals shown; without it three significant digits
LONGEST = 200  # characters of a sum
LARGEST_POWER = 10


class NoSum(ValueError):
    """What is wrong with a sum, as a sentence for its author."""


def parted(text: str) -> tuple[str, int | None]:
    """The sum itself, and the decimals that were asked for, or None."""
    match = DIGITS.search(text)
    return (text[:match.start()] if match else text).strip(), int(match[1]) if match else None


def computed(text: str, named) -> tuple[float, dict[str, float]]:
    """(value, the named numbers it used) of a sum.

    Args:
        text: the sum without its decimals; named: function from a name to its number.
    Raises: NoSum for anything but arithmetic of finite numbers.
    """
    if len(text) > LONGEST:
        raise NoSum(f"is longer than {LONGEST} characters")
    used = {}
    try:
        value = _value(ast.parse(text, mode="eval").body, named, used)
    except SyntaxError:
        raise NoSum(f"“{text}” is no sum; write numbers, settings, + - * / and brackets") from None
    except (ZeroDivisionError, OverflowError):
        raise NoSum(f"“{text}” has no finite value") from None
    if isinstance(value, complex) or not math.isfinite(value):
        raise NoSum(f"“{text}” has no finite value")
    return float(value), used


def _value(node, named, used):
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        return node.value
    if isinstance(node, ast.Name):
        used[node.id] = named(node.id)
        return used[node.id]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand, named, used)
    if isinstance(node, ast.BinOp) and type(node.op) in DOES:
        left, right = _value(node.left, named, used), _value(node.right, named, used)
        if isinstance(node.op, ast.Pow) and abs(right) > LARGEST_POWER:
            raise NoSum(f"raises to a power above {LARGEST_POWER}")
        return DOES[type(node.op)](left, right)
    raise NoSum("holds something that is neither a number, a setting, + - * / ** nor a bracket")
