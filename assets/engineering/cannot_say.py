"""The answer where a fact is missing or cannot be true: what to go and look at."""

from math import isfinite


class CannotSay(ValueError):
    """A sum that cannot be done; its text says what to go and look at or measure.

    Callers show it as "cannot say: ..." and never put a guess in its place.
    """


def known(value: float | None, what: str, least: float = 0.0, above: bool = False) -> float:
    """``value`` where it is a number and not under ``least``; else CannotSay names ``what``.

    With ``above`` the value must be more than ``least``, not merely as much.
    """
    if value is None:
        raise CannotSay(f"{what} is not known")
    if not isfinite(value):
        raise CannotSay(f"{what} is not a number ({value}): measure it again")
    if value < least or (above and value == least):
        bound = "above" if above else "at least"
        raise CannotSay(f"{what} must be {bound} {least:g}, not {value:g}: check it")
    return float(value)
