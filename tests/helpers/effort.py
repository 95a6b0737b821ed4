"""How many random inputs a test tries, by the profile that the Makefile names: a fast run, the check, or the bench."""

import os

PROFILE = os.environ.get("HYPOTHESIS_PROFILE", "check")


def effort(*, fast: int, check: int, bench: int) -> int:
    """The number for this run; a mutant is tried as hard as the check."""
    return {"fast": fast, "bench": bench}.get(PROFILE, check)
