"""Settings of the department by key: the values come in as a dict, and some are taken together as one record."""

from pvcalc.core.errors import UnknownName
from pvcalc.core.formula import nearest_words

# Settings that formulas and pictures take together, as one record: field of the record, key of the setting.
_ZONES = ["target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio"]
COMPOSED = {
    "sizing_zones": [(key, key) for key in _ZONES + ["accepted_low_ratio"]],
    "sizing_zones_newborn": [(key, key) for key in _ZONES] + [("accepted_low_ratio", "accepted_low_newborn_ratio")],
}


def setting_of(settings, key):
    """Value of one setting, or the record composed of several.

    Args:
        settings: dict of key to value; key: a setting, or a key of `COMPOSED`.
    Raises: UnknownName with the nearest key.
    """
    if key in COMPOSED:
        return [{field: setting_of(settings, part) for field, part in COMPOSED[key]}]
    if key not in settings:
        known = sorted(list(settings) + list(COMPOSED))
        raise UnknownName("no setting is called `" + key + "`" + nearest_words(key, known))
    return settings[key]


def resolve(settings, value):
    """A value as a chapter writes it: a text that starts with = stands for the setting of that key."""
    if isinstance(value, str) and value.startswith("="):
        return setting_of(settings, value[1:])
    if isinstance(value, list):
        return [resolve(settings, member) for member in value]
    if isinstance(value, dict):
        return {key: resolve(settings, value[key]) for key in value}
    return value
