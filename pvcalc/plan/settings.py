"""What the plan computes with: formulas that are not recalled, settings that are not recalled, and the words for them."""

from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.core.settings import COMPOSED, setting_of
from pvcalc.decision.vocabulary import setting_words


class Recalled(PvcalcError):
    """A recalled coefficient or dose was about to be computed with."""


def computed(made, **given):
    """(value, "") of a formula, or (None, why not).

    Raises: Recalled when the formula's coefficients were never seen in print.
    """
    if made.seen == "memory":
        raise Recalled(made.name + " has recalled coefficients; the plan does not compute with them.")
    try:
        return made(**given), ""
    except Refusal as refusal:
        return None, str(refusal)


def named(pairs, name):
    """One of several results of a formula."""
    for key, value in pairs:
        if key == name:
            return value
    return None


def is_recalled(data, key):
    """True when nobody has seen this setting's value in print; a composed one when that holds of any part."""
    if key in COMPOSED:
        return True in [is_recalled(data, part) for _, part in COMPOSED[key]]
    return (data["notes"].get(key) or {}).get("seen") == "memory"


def weakest_seen(data, keys):
    """How far a number was seen that rests on all these settings: the word of the one that was seen least."""
    words = [(data["notes"].get(key) or {}).get("seen") or "practice" for key in keys]
    return [word for word in ("memory", "practice", "second", "derived", "read") if word in words][0]


def setting(data, key):
    """A setting to compute with.

    Raises: Recalled when its value is recalled; the caller asks `is_recalled` first.
    """
    if is_recalled(data, key):
        raise Recalled("setting " + key + " is recalled; the plan does not compute with it.")
    return setting_of(data["settings"], key)


def setting_text(data, key):
    """A setting in words for a sentence, to its last digit, with "recalled: confirm" where it is recalled."""
    printed = (data["notes"].get(key) or {}).get("printed")
    return setting_words(key, data["settings"][key]) + (" (ours; " + printed + ")" if printed else "") + (" (recalled: confirm)" if is_recalled(data, key) else "")


def confirm_words(data, key):
    """Who confirms a setting."""
    return (data["notes"].get(key) or {}).get("confirm") or "the department"


def line(text, kind="line", formula="", table="", chapter="", seen="", setting_key=""):
    """One line of the plan, with what a reader needs to check it."""
    return {"text": text, "kind": kind, "formula": formula, "table": table, "chapter": chapter, "seen": seen,
            "setting": setting_key}
