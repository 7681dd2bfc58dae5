"""Figures as far as they mean something, for what is written as plain numbers."""


def thousandths(value: float | None) -> float | None:
    """Rounded to thousandths, never -0.0; None stays unknown."""
    return None if value is None else round(float(value), 3) + 0.0
