"""Refusals: every input that cannot be computed with is answered by a sentence, never by a number."""


class PvcalcError(ValueError):
    """Root of everything this package refuses."""


class Refusal(PvcalcError):
    """One or several faults found in the inputs of one computation.

    Attributes:
        faults: list of (field, sentence) pairs; `field` is an argument name, or "" when the
            sentence concerns several fields together.
    """

    def __init__(self, faults):
        super().__init__(" ".join([sentence for _, sentence in faults]))
        self.faults = faults


class MissingInput(Refusal):
    """A required input was left out or blank."""


class OutOfRange(Refusal):
    """An input lies outside the range the formula was made for."""


class NotUnderstood(Refusal):
    """An input is of the wrong kind, or is not an input of this formula."""


class NoResult(Refusal):
    """The inputs are each allowed, but together give no usable result."""


class UnknownName(PvcalcError):
    """No formula, table, setting or series has this name."""


def refuse(field, sentence):
    """Raise `NoResult` from inside a formula body, tied to one field ("" for several together)."""
    raise NoResult([(field, sentence)])
